// Starts the page: first its words, then every module that has some.

import { learn } from "./tongue.js";

learn().then(() => import("./start.js"));
