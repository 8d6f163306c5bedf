/**
 * The FNV-1a hash, a byte at a time (Fowler, Noll, Vo: draft-eastlake-fnv): cells are hashed while their end is sought.
 */
export const HASH_SEED = 0x811c9dc5 | 0;
export const HASH_PRIME = 0x01000193;

export function hashOf(bytes: Uint8Array, start: number, end: number): number {
  let hash = HASH_SEED;
  for (let i = start; i < end; ++i) hash = Math.imul(hash ^ bytes[i]!, HASH_PRIME);
  return hash;
}
