/** The pour as it went, for the page: planned against used and why, what is not as asked, and until when it is kept free. */
import { count, difference, elapsed, MINUS, percent, volume } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { FillAccount, PourAccount } from "../record/model.ts";
import type { Findings } from "../sheets/model.ts";
import { en } from "../sheets/words/en.ts";
import type { Litres } from "../units.ts";
import { asValue, type Value } from "./value.ts";

export interface PourOnPage {
  readonly of: string;
  readonly rows: readonly AccountRow[];
  readonly why: readonly { readonly reason: string; readonly bags: string }[];
  /** What the crew says of the difference. */
  readonly said: readonly string[];
  /** How sure the volume is, or why it is not known. */
  readonly note: string;
  readonly notAsAsked: readonly string[];
  /** Undefined until someone decided. */
  readonly acceptance?: string;
  readonly holdOffs: readonly string[];
}

export interface AccountRow {
  readonly what: string;
  /** Empty where nothing was planned. */
  readonly planned: Value | string;
  readonly used: Value | string;
  readonly difference: string;
}

const { daily, handover, nonConformances: words, protection } = en.record;

/** Undefined until the pour is in the job file. */
export function pourOnPage({ job, record }: Findings): PourOnPage | undefined {
  if (record.kind !== "ready" || record.value.account === undefined || job.results === undefined) return undefined;
  const { account, holdOffs, nonConformances } = record.value;
  const { results } = job;
  const { placed } = account.volume;
  const open = nonConformances.filter(({ status }) => status !== "closed");
  return {
    of: daily.of(results.poured, results.lead ?? daily.notNamed),
    rows: rowsOf(job, account),
    why: account.reasons.map(({ kind, bags }) => ({ reason: daily.reasons[kind], bags: difference(bags, 1) })),
    said: results.reasons.map(({ bags, reason }) => daily.saidRow(difference(bags, 0), reason)),
    note: placed === undefined ? daily.notRead : daily.volumeNote(volumeText(job, placed.sd)),
    notAsAsked:
      open.length === 0 ? [handover.allClosed] : open.map(({ id, status }) => `${id}: ${words.status[status]}`),
    ...(results.acceptance === undefined
      ? {}
      : { acceptance: handover.accepted[results.acceptance.result](results.acceptance.by, results.acceptance.date) }),
    holdOffs: holdOffs.flatMap(({ what, until }) =>
      until === undefined ? [] : [`Nobody ${protection.what[what]} before ${until}`],
    ),
  };
}

const volumeText = (job: Job, value: Litres): string => {
  const { large, small } = volume(value, job.units.plan);
  return en.both(large.text, small.text);
};

function rowsOf(job: Job, account: PourAccount): AccountRow[] {
  const { batches, bags, time, otherMaterials } = account;
  const row = (what: string, planned: string, used: string, apart = ""): AccountRow => ({
    what,
    planned,
    used,
    difference: apart,
  });
  const minutes = time.taken - time.planned;
  return [
    row(daily.batches, count(batches.planned), count(batches.poured), difference(batches.poured - batches.planned, 0)),
    row(daily.bags, count(bags.planned), count(bags.used), difference(bags.difference, 0)),
    row(daily.thrown, "", count(bags.thrown)),
    row(daily.burst, "", count(bags.burst)),
    row(daily.delivered, "", count(bags.delivered)),
    ...(bags.returned === undefined ? [] : [row(daily.returned, "", count(bags.returned))]),
    row(
      daily.time,
      elapsed(time.planned),
      elapsed(time.taken),
      `${minutes < 0 ? MINUS : minutes > 0 ? "+" : ""}${elapsed(Math.abs(minutes))}`,
    ),
    ...fillRows(job, account, ""),
    ...otherMaterials.flatMap((fill) => [
      row(
        daily.bagsOf(fill.material.id),
        count(fill.bags.planned),
        count(fill.bags.inFloor),
        difference(fill.bags.inFloor - fill.bags.planned, 0),
      ),
      ...fillRows(job, fill, `${fill.material.id}: `),
    ]),
  ];
}

/** Volume, yield and loss of one material, as far as they are known. */
function fillRows(
  job: Job,
  { volume: filled, yieldPerBag, loss }: Pick<FillAccount, "volume" | "yieldPerBag" | "loss">,
  before: string,
): AccountRow[] {
  const litres = (value: Litres): Value => asValue(volume(value, job.units.plan), job.units.plan === "m");
  const row = (what: string, planned: Value | string, used: Value | string): AccountRow => ({
    what: `${before}${what}`,
    planned,
    used,
    difference: "",
  });
  return [
    ...(filled.placed === undefined ? [] : [row(daily.volume, litres(filled.planned), litres(filled.placed.volume))]),
    ...(yieldPerBag.found === undefined
      ? []
      : [row(daily.yield, litres(yieldPerBag.planned), litres(yieldPerBag.found))]),
    ...(loss.found === undefined ? [] : [row(daily.loss, percent(loss.planned, 1).text, percent(loss.found, 1).text)]),
    ...(yieldPerBag.weighed === undefined
      ? []
      : [
          row(
            daily.weighed(count(yieldPerBag.weighed.batches)),
            litres(yieldPerBag.planned),
            litres(yieldPerBag.weighed.litres),
          ),
        ]),
    ...(loss.byWeighedYield === undefined
      ? []
      : [row(daily.lossWeighed, percent(loss.planned, 1).text, percent(loss.byWeighedYield, 1).text)]),
  ];
}
