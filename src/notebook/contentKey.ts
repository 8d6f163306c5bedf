/** A short text that is equal exactly when a cell would give the same answer, up to hash collisions of 64 bits. */
import type {Where} from "../cells/contract.ts";
import type {Settings} from "../../shared/settings.ts";

export interface CellContent {
  readonly kind: string;
  /** the YAML body, or the parameters read from it */
  readonly params: unknown;
  readonly where: Where;
  readonly settings: Settings;
  /** identifies the content of the tables, e.g. the digest of their files */
  readonly tables: string;
}

export function contentKey(content: CellContent): string {
  return hash(canonical(content));
}

/** JSON with the names of every object in order; what JSON cannot say (undefined) is left out. */
export function canonical(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value) ?? "null";
  const entries = Object.entries(value).filter(([, item]) => item !== undefined);
  entries.sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0));
  return `{${entries.map(([key, item]) => `${JSON.stringify(key)}:${canonical(item)}`).join(",")}}`;
}

/**
 * Two 32-bit FNV-1a sums over UTF-16 code units with different starts (Fowler, Noll, Vo; offset basis and prime of the
 * 32-bit variant from memory): 16 hexadecimal digits. Tells contents apart; it is no protection against anyone.
 */
export function hash(text: string): string {
  let a = 0x811c9dc5;
  let b = 0x01000193 ^ 0x5bd1e995;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    a = Math.imul(a ^ code, 0x01000193);
    b = Math.imul(b ^ (code + (i & 0xff)), 0x01000193) ^ (b >>> 15);
  }
  return hex(a) + hex(b);
}

const hex = (value: number): string => (value >>> 0).toString(16).padStart(8, "0");
