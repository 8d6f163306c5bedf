/** Ways to damage a workbook: its bytes, what its archive says of itself, its parts, and parts that swell. */
import {strToU8, zipSync} from "fflate";
import type {LogFile} from "../../src/logs/index.ts";
import type {Random} from "../../src/statistics/index.ts";
import {changed as changedZip, FIELDS, zip, zip64} from "../logs/zipFiles.ts";
import {bombOf} from "./bombs.ts";
import {chance, changed, changedLines, oneOf, pick, times} from "./draws.ts";
import {bookFile, bookParts} from "./logs.ts";

const BOOK = bookFile().bytes;
const PARTS = bookParts();

const named = (bytes: Uint8Array): LogFile[] => [{name: "logs.xlsx", bytes}];

export const ZIP_WAYS: Readonly<Record<string, (random: Random) => readonly LogFile[]>> = {
  "bytes of a workbook": (random) => named(changed(random, BOOK)),
  "what a zip says of itself": (random) => named(lying(random, chance(random, 3) ? zip64(BOOK) : BOOK)),
  "parts of a workbook": (random) => named(otherParts(random)),
  "text within a workbook": (random) => named(otherTexts(random)),
  "zip bombs": (random) => named(swelling(random)),
};

/** Fields of its headers, in the directory and before the data, at odds with the rest. */
export function lying(random: Random, archive: Uint8Array): Uint8Array {
  return changedZip(archive, (view, directory, data) => {
    for (let i = times(random, 2); i >= 0; --i) {
      const inDirectory = !chance(random, 4);
      const [place, width] = oneOf(random, FIELD_PLACES[inDirectory ? "directory" : "data"]);
      const at = (oneOf(random, inDirectory ? directory : data) ?? 0) + place;
      const now = width === 2 ? view.getUint16(at, true) : view.getUint32(at, true);
      const value = oneOf(random, [
        0,
        1,
        8,
        9,
        14,
        99,
        now + 1,
        now - 1,
        now * 2,
        0xffff,
        0xffffffff,
        pick(random, 2 ** 31),
      ]);
      if (width === 2) view.setUint16(at, value & 0xffff, true);
      else view.setUint32(at, value >>> 0, true);
    }
    // the end of the directory: how many it lists, how long it is, where it begins
    if (chance(random, 4)) {
      const at = view.byteLength - 22 + oneOf(random, [8, 10, 12, 16, 20]);
      view.setUint16(at, oneOf(random, [0, 1, 2, 0xffff, pick(random, 0xffff)]), true);
    }
  });
}

const places = (fields: Readonly<Record<string, number>>): (readonly [place: number, width: 2 | 4])[] =>
  Object.entries(fields).map(([name, place]) => [place, name === "flags" || name === "method" ? 2 : 4]);

const FIELD_PLACES = {directory: places(FIELDS.directory), data: places(FIELDS.data)} as const;

/** Parts left out, twice, under other names, or archives within the archive. */
function otherParts(random: Random): Uint8Array {
  const parts = Object.entries(PARTS).filter(() => !chance(random, 8));
  const further: (readonly [string, string | Uint8Array])[] = [...parts];
  for (let i = times(random, 3); i > 0; --i) {
    const name = oneOf(random, [
      ...["../xl/workbook.xml", "/xl/workbook.xml", "XL/Workbook.xml", "xl\\workbook.xml", "xl/worksheets/sheet1.xml/"],
      ...["xl/worksheets/../../runs.csv", "xl/worksheets/sheet9.xml", "inner.zip", "xl/\u0000.xml", "xl/", ""],
    ]);
    further.push([
      name,
      oneOf(random, [BOOK, "", "<worksheet/>", PARTS["xl/worksheets/sheet1.xml"] ?? "", "\u0000".repeat(99)]),
    ]);
  }
  const archive = zip(further, oneOf(random, [0, 6]));
  if (!chance(random, 3)) return archive;
  // one name given to another part: the archive then has it twice
  const [from, to] = ["xl/worksheets/sheet2.xml", "xl/worksheets/sheet1.xml"].map((name) => strToU8(name));
  return replaced(archive, from!, to!);
}

function replaced(bytes: Uint8Array, from: Uint8Array, to: Uint8Array): Uint8Array {
  const copy = bytes.slice();
  for (let at = 0; at + from.length <= copy.length; ++at)
    if (from.every((byte, i) => copy[at + i] === byte)) copy.set(to, at);
  return copy;
}

const XML_PIECES = [
  ...[
    "<",
    ">",
    '"',
    "'",
    "&",
    "&amp",
    "&#x110000;",
    "]]>",
    "<![CDATA[",
    "<!--",
    "<?",
    "<!DOCTYPE a [<!ENTITY b 'c'>]>&b;",
  ],
  ...["<row>", '<row r="-1">', '<row r="99999999999">', "</row>", "<c>", '<c r="ZZZZ1"><v>1</v></c>', "</sheetData>"],
  ...[
    '<c r="A1" t="s"><v>999999</v></c>',
    '<c t="e"><v>#REF!</v></c>',
    "<c><f>1/0</f></c>",
    '<mergeCell ref="A1:XFD1048576"/>',
  ],
  ...[
    '<f t="shared" ref="A1:Z9" si="0">cmd|x</f>',
    "<v>1e309</v>",
    "<v>NaN</v>",
    "<v>-1</v>",
    "<v/>",
    "<is><t>=1+1</t></is>",
  ],
];

function otherTexts(random: Random): Uint8Array {
  const name = oneOf(
    random,
    Object.keys(PARTS).filter((part) => part.startsWith("xl/")),
  );
  // one element a line, so that lines can be moved and doubled
  const text = (PARTS[name] ?? "").replaceAll("><", ">\n<");
  return zip({...PARTS, [name]: changedLines(random, text, XML_PIECES, 10)}, 0);
}

const HUGE = [1, 3, 4].map((gigabytes) => bombOf("<row/>", gigabytes * 1_000_000_000));

/** A sheet that unpacks to gigabytes, or says that it does, or that it does not. */
function swelling(random: Random): Uint8Array {
  const {packed, size} = oneOf(random, HUGE);
  const sheet = "xl/worksheets/sheet1.xml";
  const archive = zipSync(
    Object.fromEntries(Object.entries(PARTS).map(([name, text]) => [name, name === sheet ? packed : strToU8(text)])),
    {level: 0},
  );
  const name = strToU8(sheet);
  const said = oneOf(random, [size, size, 0, 1000, 390_000_000, 0xffffffff]);
  return changedZip(archive, (view, directory, data) => {
    for (const [headers, {method, size: place}, nameAt] of [
      [directory, FIELDS.directory, 46],
      [data, FIELDS.data, 30],
    ] as const)
      for (const at of headers) {
        if (!name.every((byte, i) => view.getUint8(at + nameAt + i) === byte)) continue;
        view.setUint16(at + method, 8, true);
        view.setUint32(at + place, said >>> 0, true);
      }
  });
}
