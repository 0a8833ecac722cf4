/**
 * The account of the survey, by what must hold of any least-squares adjustment and of any plan that
 * covers a floor: residuals again from readings and corrections, their weighted sums, the global test.
 */
import { agrees, type Disagree, type Evidence } from "./evidence.ts";

type Levels = Extract<Evidence["packet"]["levels"], { kind: "ready" }>["result"];
type Used = Extract<Levels["report"]["readings"][number], { kind: "used" }>;

/** mm: sums of doubles over thousands of readings stay far below it, a printed tenth of a millimetre far above. */
const NEXT_TO_NOTHING_MM = 1e-5;

/** What the report says of every reading, set-up and closing error. */
export function checkSurvey(evidence: Evidence, disagree: Disagree): void {
  const { packet } = evidence;
  if (packet.levels.kind !== "ready") return;
  const { result } = packet.levels;
  checkAccount(evidence, result, disagree);
  checkResiduals(evidence, result, disagree);
  checkSums(evidence, result, disagree);
  checkClosures(evidence, result, disagree);
  checkReport(evidence, result, disagree);
  checkWarnings(evidence, result, disagree);
}

/** A bench mark beyond the limit is called suspect; a hose that is off by a good part of the tolerance is told. */
function checkWarnings({ findings }: Evidence, { report }: Levels, disagree: Disagree): void {
  for (const { id, normalizedResidual, suspect } of report.benchMarks) {
    if (suspect !== (normalizedResidual !== null && Math.abs(normalizedResidual) > (report.critical ?? Infinity))) {
      disagree("bench-mark-verdict", `${id} has a normalized residual of ${normalizedResidual}, suspect: ${suspect}`);
    }
  }
  const figures = (findings.job.contract.rules ?? []).flatMap((rule) =>
    rule.kind === "level" ? [rule.plusMinus] : rule.kind === "straightedge" && rule.edge >= 1.5 ? [rule.gap] : [],
  );
  for (const { setUp, boundMm, matters } of report.temperatures) {
    if (!matters && boundMm.value >= 0.25 * Math.min(...figures)) {
      disagree("warm-hose-untold", `the hose of ${setUp} may be off by ${boundMm.value} mm, and nothing is said`);
    }
  }
}

const nameOf = ({ of }: Used): string => `${of.point} in set-up ${of.setUp}`;

/** Used readings of the first adjustment, before any work on the floor. */
function usedBeforeWork({ findings }: Evidence, { report }: Levels): Used[] {
  const first = new Set(
    findings.job.survey.setUps.filter(({ afterWork }) => afterWork === undefined).map(({ id }) => id),
  );
  return report.readings.filter((one): one is Used => one.kind === "used" && first.has(one.of.setUp));
}

/** Every reading of the job stands in the account once: used, struck with its reason, or left out. */
function checkAccount({ findings }: Evidence, { report }: Levels, disagree: Disagree): void {
  const told = new Map<string, Levels["report"]["readings"][number]>();
  for (const one of report.readings) {
    if (one.of.kind === "reading") told.set(`${one.of.setUp} ${one.of.index}`, one);
  }
  let count = 0;
  for (const { id, readings } of findings.job.survey.setUps) {
    for (const [k, { pointId, struck }] of readings.entries()) {
      count += 1;
      const one = told.get(`${id} ${k}`);
      const isTold =
        one !== undefined &&
        one.of.point === pointId &&
        (struck === undefined ? one.kind !== "struck" : one.kind === "struck" && one.reason === struck.reason);
      if (!isTold)
        disagree("reading-unaccounted", `the reading of ${pointId} in set-up ${id} is not told as it stands`);
    }
  }
  if (told.size !== count) disagree("reading-unaccounted", `${count} readings in the job, ${told.size} in the report`);
}

/** Residual = adjusted level less the reading's own, and that is the reading with its set-up's correction and drift. */
function checkResiduals(evidence: Evidence, levels: Levels, disagree: Disagree): void {
  const { job, levels: found } = evidence.findings;
  const reworked = new Set(
    found.kind === "ready" ? found.value.points.filter(({ afterWork }) => afterWork).map(({ id }) => id) : [],
  );
  const levelOf = new Map(levels.points.map(({ id, levelMm }) => [id, levelMm.value]));
  const setUpOf = new Map(levels.report.setUps.map((one) => [one.id, one]));
  for (const one of usedBeforeWork(evidence, levels)) {
    if (one.of.kind !== "reading") continue;
    const reading = job.survey.setUps.find(({ id }) => id === one.of.setUp)?.readings[one.of.index];
    const setUp = setUpOf.get(one.of.setUp);
    if (reading === undefined || setUp === undefined) {
      disagree("residual-differs", `${nameOf(one)} is reported, but no such reading is in the job`);
      continue;
    }
    const corrected = reading.level + setUp.zeroCorrectionMm.value;
    // A drift moves each reading by no more than the drift of the whole set-up.
    const slack = Math.abs(setUp.drift?.wholeMm.value ?? 0) + NEXT_TO_NOTHING_MM;
    if (!(Math.abs(one.levelMm.value - corrected) <= slack)) {
      disagree(
        "residual-differs",
        `${nameOf(one)} is reported at level ${one.levelMm.value} mm; reading and correction make ${corrected} mm`,
      );
    }
    const adjusted = levelOf.get(one.of.point);
    if (adjusted === undefined || reworked.has(one.of.point)) continue;
    const residual = adjusted - one.levelMm.value;
    if (!agrees(one.residualMm.value, residual, NEXT_TO_NOTHING_MM)) {
      disagree("residual-differs", `${nameOf(one)} has a residual of ${one.residualMm.value} mm; it is ${residual} mm`);
    }
  }
}

/**
 * At the least of Σ(v/σ)² its slope against every unknown is nothing: the weighted residuals of a point add up to zero,
 * and so do those of a set-up whose zero is unknown (normal equations). The least itself is what the global test tests.
 */
function checkSums(evidence: Evidence, levels: Levels, disagree: Disagree): void {
  const { job } = evidence.findings;
  const { report } = levels;
  const sdOf = new Map(job.survey.setUps.map(({ id, instrument }) => [id, instrument.readingSd]));
  const marks = new Map(report.benchMarks.map((mark) => [mark.id, mark]));
  const held = report.datum.kind === "first-set-up" ? report.datum.setUp : undefined;
  const sums = new Map<string, number>();
  let squares = 0;
  for (const one of usedBeforeWork(evidence, levels)) {
    const sd = sdOf.get(one.of.setUp) ?? Number.NaN;
    const pull = one.residualMm.value / sd ** 2;
    squares += one.residualMm.value * pull;
    const unknowns = [
      ...(marks.has(one.of.point) && one.of.kind === "reading" ? [] : [`the readings of ${one.of.point}`]),
      ...(one.of.setUp === held ? [] : [`the readings in set-up ${one.of.setUp}`]),
    ];
    for (const unknown of unknowns) sums.set(unknown, (sums.get(unknown) ?? 0) + pull);
  }
  for (const [unknown, sum] of sums) {
    if (!(Math.abs(sum) <= NEXT_TO_NOTHING_MM)) {
      disagree("residuals-not-least", `the weighted residuals of ${unknown} add up to ${sum}, not to zero`);
    }
  }
  for (const mark of job.benchMarks) {
    const level = marks.get(mark.id)?.levelMm.value;
    if (level !== undefined && mark.sd !== undefined && mark.sd > 0) squares += ((level - mark.level) / mark.sd) ** 2;
  }
  const { global } = report;
  if (global.kind === "tested" && !agrees(global.sumOfSquares, squares, 1e-6 * Math.max(1, squares))) {
    disagree("global-test-differs", `the report tests ${global.sumOfSquares}; the squares add up to ${squares}`);
  }
}

/** Zero marks as they were read, the job's rule, and the verdict. */
function checkClosures({ findings }: Evidence, { report }: Levels, disagree: Disagree): void {
  const { setUps, adjustment } = findings.job.survey;
  for (const { kind, setUps: names, errorMm, permittedMm, verdict } of report.closures) {
    const what = `the closing error of ${names.join("–")}`;
    const checks = kind === "set-up" ? (setUps.find(({ id }) => id === names[0])?.zeroChecks ?? []) : [];
    const [first, last] = [checks[0], checks.at(-1)];
    if (first && last) {
      const error = last.level - (first.afterReadings === 0 ? first.level : 0);
      if (!agrees(errorMm.value, error))
        disagree("closure-differs", `${what} is ${errorMm.value} mm; it is ${error} mm`);
    }
    const rule = adjustment?.closing;
    if (kind === "set-up" && rule?.per === "root-set-up" && !agrees(permittedMm?.value ?? Number.NaN, rule.k)) {
      disagree("closure-differs", `${what} is allowed ${permittedMm?.value} mm; the rule gives ${rule.k} mm`);
    }
    const judged =
      permittedMm === null ? "not-judged" : Math.abs(errorMm.value) <= permittedMm.value ? "within" : "beyond";
    if (verdict !== judged) disagree("closure-differs", `${what} is called ${verdict}; by its numbers it is ${judged}`);
  }
}

/** What stands on the report, in every language: each place to read again, each reason for a struck reading. */
function checkReport({ sheets }: Evidence, { report }: Levels, disagree: Disagree): void {
  const suspect = report.readings.some((one) => one.kind === "used" && one.suspect);
  if (suspect && report.readAgain.length === 0) {
    disagree("suspect-not-listed", "a reading is suspect, and no place is to be read again");
  }
  for (const { id, language, pages } of sheets) {
    if (id !== "survey-report") continue;
    const rows = pages.flatMap(({ blocks }) =>
      blocks.flatMap((block) => (block.kind === "table" ? block.rows.map(({ cells }) => cells) : [])),
    );
    const texts = rows.map((cells) => cells.map((cell) => cell.lines.map(({ text }) => text).join(" ")));
    for (const { point, asReadMm } of report.readAgain) {
      const printed = asReadMm.printed[0];
      if (!texts.some((cells) => cells[0] === point && cells.some((cell) => cell.startsWith(printed)))) {
        disagree(
          "sheet-differs",
          `sheet ${id} (${language}) does not list ${point}, read at ${printed}, to be read again`,
        );
      }
    }
    for (const one of report.readings) {
      if (one.kind !== "struck") continue;
      // The print may break a long reason anywhere.
      const reason = one.reason.replace(/\s/g, "");
      const isPrinted = texts.some(
        (cells) => cells[1] === one.of.point && cells.some((cell) => cell.replace(/\s/g, "") === reason),
      );
      if (!isPrinted)
        disagree("sheet-differs", `sheet ${id} (${language}) does not say why ${one.of.point} was struck`);
    }
  }
}

/** Habits of the survey: every twenty readings the zero, one point in twenty twice (common practice). */
const MOST_BETWEEN_CHECKS = 20;
const LEAST_SHARE_TWICE = 0.05;

/** A bench mark in the line of a wall is read from the floor beside it: within a tape's millimetre. */
const AT_WALL_M = 0.002;

/** A planned survey reads every point that it does not call out of reach, within the hose, and checks itself. */
export function checkSurveyPlan({ findings, packet }: Evidence, disagree: Disagree): void {
  if (packet.surveyPlan.kind !== "ready") return;
  const { plan, job } = findings;
  const { positions, outOfReach } = packet.surveyPlan.result;
  const placeOf = new Map([...plan.points, ...job.benchMarks].map(({ id, at }) => [id, at]));
  const planning = job.survey.planning;
  const hose = planning?.instrument.hoseLength;
  const longest = hose === undefined ? Number.POSITIVE_INFINITY : hose - (planning?.slack ?? 0);
  const covered = new Set(outOfReach);
  for (const { id, at, order, zeroChecksAfter } of positions) {
    let twice = 0;
    for (const { point, hoseM, why } of order) {
      covered.add(point);
      if (why === "second-time") twice += 1;
      const place = placeOf.get(point);
      const straight = place ? Math.hypot(place.x - at.eastM, place.y - at.northM) : Number.NaN;
      if (!(hoseM.value >= straight - AT_WALL_M && hoseM.value <= longest + 1e-9)) {
        disagree(
          "planned-hose-differs",
          `${point} from ${id} takes ${hoseM.value} m of hose: it is ${straight} m away and the hose reaches ${longest} m`,
        );
      }
    }
    const marks = order.filter(({ why }) => why === "bench-mark").length;
    if (twice < LEAST_SHARE_TWICE * (order.length - marks - twice)) {
      disagree("plan-unchecked", `${id} reads ${twice} of ${order.length - twice} points twice`);
    }
    const gaps = zeroChecksAfter.map((after, k) => after - (zeroChecksAfter[k - 1] ?? 0));
    const ends = zeroChecksAfter[0] === 0 && zeroChecksAfter.at(-1) === order.length;
    if (!ends || gaps.some((gap) => gap > MOST_BETWEEN_CHECKS)) {
      disagree(
        "plan-unchecked",
        `${id} checks its zero after ${zeroChecksAfter.join(", ")} of ${order.length} readings`,
      );
    }
  }
  for (const { id } of plan.points) {
    if (!covered.has(id)) disagree("plan-misses-point", `no position reads ${id}`);
  }
}
