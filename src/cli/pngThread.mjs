/** Draws pictures for PngThread.ts, one after the other. Plain JavaScript: a thread starts without the loader of TypeScript. */
import {parentPort} from "node:worker_threads";
import {Resvg} from "@resvg/resvg-js";

parentPort?.on("message", ({id, svg, options}) => {
  try {
    parentPort.postMessage({id, png: new Resvg(svg, options).render().asPng()});
  } catch (error) {
    parentPort.postMessage({id, error: error instanceof Error ? error.message : String(error)});
  }
});
