/** The crew's sets of floors that no shipped job is as large as: part of `npm run test:paper`. */
import { generatedFloor } from "./generated-floor.ts";
import { type LongLook, lookAt } from "./long-look.ts";

/** 2,000 pins on 2 m centres of an 80 m by 100 m floor; 20,000 m² on a wider grid. */
lookAt(
  (["letter", "a4"] as const).flatMap((family) =>
    [
      { id: "pins-2000", eastM: 80, northM: 100, spacingM: 2, family },
      { id: "square-metres-20000", eastM: 200, northM: 100, spacingM: 5, family },
    ].map(
      (order): LongLook => ({ id: order.id, family, text: () => generatedFloor(order), sets: (set) => set === "crew" }),
    ),
  ),
);
