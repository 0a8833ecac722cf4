/** Every shipped job on A4 and A3, in all its languages: part of `npm run test:paper`. */
import { lookAt, shippedJobsOn } from "./long-look.ts";

lookAt(shippedJobsOn("a4"));
