/** The sorts of cases: how each is drawn, and how it is judged. */

import { damagedBytes } from "./bytes.ts";
import { type Ending, JOB_ID, judgePacket, judgeRead, judgeStages } from "./judge.ts";
import { nearJob } from "./near-job.ts";
import { nearList } from "./near-list.ts";
import type { Draw } from "./written.ts";

export interface Case {
  /** What a person needs to see it again, by name of file. */
  readonly files: Readonly<Record<string, string | Uint8Array>>;
  judge(): Ending;
}

const ofText = (text: string, judge: (text: string) => Ending): Case => ({
  files: { [`${JOB_ID}.yaml`]: text },
  judge: () => judge(text),
});

export const SORTS = {
  jobs: (g: Draw): Case => ofText(nearJob(g, JOB_ID), judgeStages),
  packets: (g: Draw): Case => ofText(nearJob(g, JOB_ID), judgePacket),
  bytes: (g: Draw): Case => {
    const bytes = damagedBytes(g);
    return { files: { [`${JOB_ID}.yaml`]: bytes }, judge: () => judgeRead(bytes) };
  },
  lists: (g: Draw): Case => {
    const { text, beside } = nearList(g);
    return {
      files: { [`${JOB_ID}.yaml`]: text, [`${JOB_ID}/points.csv`]: beside[0]?.text ?? "" },
      judge: () => judgePacket(text, beside),
    };
  },
} as const;

export type Sort = keyof typeof SORTS;
