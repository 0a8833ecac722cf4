/** Every shipped job on letter and tabloid, in all its languages: part of `npm run test:paper`. */
import { lookAt, shippedJobsOn } from "./long-look.ts";

lookAt(shippedJobsOn("letter"));
