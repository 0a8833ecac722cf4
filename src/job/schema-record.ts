/** The vocabulary of the record: tests of the substrate, what was agreed before the pour, and how the pour went. */
import { z } from "zod";
import { DOCUMENT_KINDS, JOINT_PARTIES, SUBMITTAL_STATES, SUBSTRATE_TESTS } from "./record-model.ts";
import {
  choice,
  clock,
  count,
  date,
  measure,
  partId,
  planPoint,
  temperature,
  thickness,
  words,
} from "./schema-leaves.ts";
import { LIMITS } from "./schema-limits.ts";

const bags = (description: string, example: number, least = 0) =>
  count(description, example, { least, greatest: 1_000_000, whole: true });

const testName = (description: string) => choice(SUBSTRATE_TESTS, description, "relative-humidity");

const TEST_VALUES = "80 %, 3 lb/1000 ft²/24 h, 60 s, 200 psi, 3 (a profile), 50 °F";

export const testSchema = z
  .strictObject({
    test: testName("Which test."),
    owed_by: words("Who has it done.", "Marrow Lane Builders"),
    limits: z
      .array(
        z
          .strictObject({
            at_least: words(`Least value, with the unit of the test: ${TEST_VALUES}.`, "200 psi").optional(),
            at_most: words(`Greatest value, with the unit of the test: ${TEST_VALUES}.`, "80 %").optional(),
            source: words("The clause or the data sheet that states it.", "Section 09 65 19, 3.2"),
          })
          .meta({ description: "A limit of the contract, the covering or the material." }),
      )
      .max(10)
      .optional()
      .meta({ description: "Limits; the strictest governs. Without one no result is accepted." }),
    places: count("Places to test, where the contract states how many.", 5, {
      least: 1,
      greatest: LIMITS.list,
      whole: true,
    }).optional(),
  })
  .meta({ description: "A test that the contract, the covering or the material asks for." });

export const testResultSchema = z
  .strictObject({
    test: testName("Which test."),
    id: partId("Names the place tested; given again with a later date it is a retest there.", "RH1"),
    at: planPoint("Where it was tested.", "[4', 6']").optional(),
    value: words(`What was measured, with the unit of the test: ${TEST_VALUES}.`, "71 %"),
    date: date("Day of the result.", "2027-02-24"),
    by: words("Who measured.", "P. Lindquist"),
    note: words("A note.", "probe 3").optional(),
  })
  .meta({ id: "test-result", description: "One result, entered when it is there." });

const settled = {
  by: words("Who, with company.", "R. Amsel, Marrow Lane Builders"),
  date: date("When.", "2027-02-20"),
};

export const readinessSchema = z
  .strictObject({
    tests: z
      .array(testSchema)
      .max(SUBSTRATE_TESTS.length)
      .optional()
      .meta({ description: "Tests that are asked for." }),
    results: z.array(testResultSchema).max(LIMITS.points).optional().meta({ description: "Results as they come in." }),
    not_required: z
      .strictObject({ ...settled, reason: words("Why.", "dry, tested under the same contract in January") })
      .optional()
      .meta({ description: "Who settled in writing that no test of the substrate is owed." }),
  })
  .meta({ description: "Readiness of the substrate: which tests are owed, and what they gave." });

export const jointSurveySchema = z
  .strictObject({
    date: date("Day on which the slab was measured.", "2027-02-26").optional(),
    measured_by: words("Who measured.", "T. Okafor, Quillhaven Floor Levelling").optional(),
    present: z
      .array(
        z
          .strictObject({
            name: words("Name.", "R. Amsel"),
            company: words("Company.", "Marrow Lane Builders"),
          })
          .meta({ description: "Someone who was there." }),
      )
      .max(20)
      .optional()
      .meta({ description: "Who was there." }),
    signatures: z
      .array(
        z
          .strictObject({
            for: choice(JOINT_PARTIES, "Which party.", "general-contractor"),
            by: words("Who signed.", "R. Amsel"),
            date: date("When.", "2027-03-02"),
          })
          .meta({ description: "A signature." }),
      )
      .max(JOINT_PARTIES.length)
      .optional()
      .meta({ description: "Who signed the record. Until both parties have, the packet says HOLD." }),
    bags: bags("Bags that the survey meant when it was signed.", 118).optional(),
    not_required: z
      .strictObject({ ...settled, reason: words("Why.", "the owner's own floor, no general contractor") })
      .optional()
      .meta({ description: "Who settled in writing that no joint survey is made." }),
  })
  .meta({ description: "The joint survey: measured in whose presence, who signed the record and when." });

/** What the contract says beside tolerance and allowances; `schema-contract.ts` takes these keys up. */
export const contractTermsKeys = {
  section: words("Number of the specification's section.", "03 54 16").optional(),
  unit_rate: z
    .strictObject({
      amount: count("Price of one more bag, in place.", 48.5, { least: 0, greatest: 100_000, whole: false }),
      currency: words("Its currency.", "USD"),
    })
    .optional()
    .meta({ description: "Price of a bag past the allowance." }),
  approved_bags: z
    .strictObject({
      bags: bags("Bags in all.", 140),
      ...settled,
      reference: words("Order or letter.", "CO-02").optional(),
    })
    .optional()
    .meta({ description: "The last written approval of a number of bags." }),
  bid: z
    .strictObject({
      area: measure("area", "Floor that the price was worked out from.", "1480 ft²", {
        least: 0,
        greatest: 1e6,
      }).optional(),
      rooms: z
        .array(
          z
            .strictObject({
              room: partId("The room.", "hall"),
              depth: thickness("Mean depth that the bid took for it.", "1/4 in"),
            })
            .meta({ description: "What the bid took for a room." }),
        )
        .max(LIMITS.rooms)
        .optional()
        .meta({ description: "Rooms whose depth the bid states; the others have `allowed_depth`." }),
      source: words("Where the bid says so.", "Bid of 14 January, page 2"),
    })
    .optional()
    .meta({ description: "What the price was worked out from." }),
};

export const documentSchema = z
  .strictObject({
    what: words("What it is of.", "Acrylic primer"),
    kind: choice(DOCUMENT_KINDS, "What it is.", "safety-data-sheet"),
    title: words("Its title.", "Safety data sheet, issue 4"),
    date: date("Its date.", "2026-11-02").optional(),
    file: words("The file, in the folder that has the job's name.", "acrylic-primer-sds.pdf").optional(),
  })
  .meta({ description: "A data sheet or another document that the packet names." });

export const submittalSchema = z
  .strictObject({
    number: words("Number of the submittal.", "03 54 16-01"),
    item: words("What was submitted.", "Product data"),
    submitted: date("When it went out.", "2027-01-20").optional(),
    returned: date("When it came back.", "2027-02-03").optional(),
    status: choice(SUBMITTAL_STATES, "What came back.", "approved").optional(),
  })
  .meta({ description: "A submittal and what became of it." });

export const lotSchema = z
  .strictObject({
    lot: words("Lot number on the bags.", "L2271-04"),
    bags: bags("Bags of it that were delivered.", 44, 1),
    material: partId("Its material, where the job has several: by its id.", "stiff-25kg").optional(),
    use_by: date("Use-by date on the bags.", "2027-11-30").optional(),
  })
  .meta({ description: "Bags delivered of one lot." });

const MINUTE_OF_DAY = "07:31";

export const siteConditionsSchema = z
  .strictObject({
    date: date("Day, where it is not that of the first batch.", "2027-03-04").optional(),
    time: clock("When it was measured.", MINUTE_OF_DAY),
    air: temperature("Air.", "68 °F").optional(),
    slab: temperature("Surface of the slab.", "66 °F").optional(),
    water: temperature("Mixing water.", "60 °F").optional(),
    humidity: measure("share", "Relative humidity of the air.", "55 %", { least: 0, greatest: 1 }).optional(),
  })
  .meta({ description: "Conditions as they were measured." });

export const pouredBatchSchema = z
  .strictObject({
    batch: count("Number of the batch.", 1, { least: 1, greatest: 100_000, whole: true }),
    date: date("Day, where it is not that of the first batch.", "2027-03-05").optional(),
    bags: bags("Bags in it.", 2, 1),
    mixed: clock("When powder met water.", MINUTE_OF_DAY),
    placed: clock("When it was poured.", "07:38").optional(),
    water: measure("volume", "Water in it.", "10 qt", { least: 0, greatest: 10_000, above: true }).optional(),
    spread: thickness("Spread of the flow ring.", "5 1/4 in").optional(),
    temperature: temperature("Temperature of the mix.", "70 °F").optional(),
    density: measure("density", "Density of the fresh mix, weighed in a vessel of known volume.", "1960 kg/m³", {
      least: 0.3,
      greatest: 4,
    }).optional(),
    lot: words("Lot of its bags.", "L2271-04").optional(),
    material: partId(
      "Its material, where the job has several and its lot does not say: by its id.",
      "stiff-25kg",
    ).optional(),
  })
  .meta({ id: "poured-batch", description: "A batch as it was poured." });

export const nonConformanceSchema = z
  .strictObject({
    id: partId("Its number.", "NC1"),
    found: date("Day on which it was found.", "2027-03-09"),
    what: words("What is wrong.", "Low by 4 mm between the door and the column"),
    at: planPoint("Where.", "[12', 9']").optional(),
    flatness_place: partId("The place of the flatness report that it answers for.", "F1").optional(),
    rework: words("What is or was done about it.", "Ground, primed, filled").optional(),
    reworked: date("When.", "2027-03-10").optional(),
    recheck: z
      .strictObject({
        date: date("When it was checked again.", "2027-03-12"),
        result: choice(["accepted", "refused"], "What the recheck found.", "accepted"),
        by: words("Who checked.", "R. Amsel, Marrow Lane Builders"),
      })
      .optional()
      .meta({ description: "The recheck." }),
  })
  .meta({ description: "Something that is not as the contract asks, and what became of it." });

export const resultsSchema = z
  .strictObject({
    poured: date("Day of the first batch.", "2027-03-04"),
    lead: words("Who led the crew.", "T. Okafor").optional(),
    lots: z.array(lotSchema).min(1).max(LIMITS.list).meta({ description: "Bags delivered, by lot." }),
    conditions: z.array(siteConditionsSchema).max(LIMITS.list).optional().meta({ description: "Conditions." }),
    batches: z.array(pouredBatchSchema).min(1).max(LIMITS.points).meta({ description: "Batches as they were mixed." }),
    burst_bags: bags("Bags that burst or spoilt before they were mixed.", 1).optional(),
    thrown_bags: bags("Bags that were mixed and thrown away instead of poured.", 2).optional(),
    returned_bags: bags("Full bags left over.", 3).optional(),
    reasons: z
      .array(
        z
          .strictObject({
            bags: count("Bags more than planned; below zero for less.", 2, {
              least: -1_000_000,
              greatest: 1_000_000,
              whole: true,
            }),
            reason: words("Why, in the crew's words.", "hole at the floor drain, not in the survey"),
          })
          .meta({ description: "A reason for a difference." }),
      )
      .max(LIMITS.list)
      .optional()
      .meta({ description: "What the crew says of a difference to the plan." }),
    non_conformances: z
      .array(nonConformanceSchema)
      .max(LIMITS.list)
      .optional()
      .meta({ description: "What is not as the contract asks." }),
    acceptance: z
      .strictObject({
        date: date("Day of the decision.", "2027-03-12"),
        result: choice(["accepted", "accepted-with-remarks", "refused"], "The decision.", "accepted"),
        by: words("Who decided, with company.", "R. Amsel, Marrow Lane Builders"),
        remarks: words("Remarks.", "threshold to be ground by others").optional(),
      })
      .optional()
      .meta({ description: "Acceptance of the floor." }),
  })
  .meta({ description: "How the pour went." });

export type TestText = z.output<typeof testSchema>;
export type TestResultText = z.output<typeof testResultSchema>;
export type ResultsText = z.output<typeof resultsSchema>;
export type PouredBatchText = z.output<typeof pouredBatchSchema>;
export type NonConformanceText = z.output<typeof nonConformanceSchema>;
