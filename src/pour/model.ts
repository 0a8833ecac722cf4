/** The mixing schedule: who mixes what, when. */
import type { Litres, Minutes, SquareMetres } from "../units.ts";

export interface MixingSchedule {
  readonly batches: readonly Batch[];
  /** Time between two batches of the whole crew. */
  readonly interval: Minutes;
  readonly duration: Minutes;
  readonly bagsPerMinute: number;
  /**
   * Floor covered in one flow time, and a lane across the room (its shorter way, as wide as the crew
   * rakes), both for the room in which the crew has least to spare.
   */
  readonly areaInFlowTime: SquareMetres;
  readonly laneArea: SquareMetres;
  readonly tightestRoomIndex: number;
  /** True where such a lane is not covered within the flow time. */
  readonly tooSlow: boolean;
}

export interface Batch {
  readonly number: number;
  readonly barrel: number;
  readonly bags: number;
  readonly water: Litres;
  readonly cumulativeBags: number;
  /** Minutes after the first powder meets water: when this batch's powder does, and when it is poured. */
  readonly powderMeetsWater: Minutes;
  readonly poured: Minutes;
}
