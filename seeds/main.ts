/** `npm run demo-data`: writes data/ and seeds/planted.json. */
import {mkdirSync, writeFileSync} from "node:fs";
import {fileURLToPath} from "node:url";
import {demoData} from "./demoData.ts";

const root = new URL("../", import.meta.url);
const {files, planted} = demoData();
mkdirSync(fileURLToPath(new URL("data/", root)), {recursive: true});
for (const {name, text} of files) {
  writeFileSync(new URL(`data/${name}`, root), text);
  console.log(`data/${name}  ${Math.round(Buffer.byteLength(text) / 1024)} kB`);
}
writeFileSync(new URL("seeds/planted.json", root), `${JSON.stringify(planted, null, 2)}\n`);
console.log(`seeds/planted.json  ${planted.length} things planted`);
