/** The one rule by which a stream's watermark moves, in every store. */

/** A stored record as its neighbours see it. */
export interface Link {
  readonly seq: number;
  readonly prev: string;
  readonly hash: string;
}

/** Everything up to `upto` is here; `head` is the hash of it, CHAIN_START at 0. */
export interface Watermark {
  readonly upto: number;
  readonly head: string;
}

/** Moves over each link that follows without a hole and names its predecessor; `links` in order, behind `upto`. */
export function moveOver({ upto, head }: Watermark, links: readonly Link[]): Watermark {
  for (const link of links) {
    if (link.seq !== upto + 1 || link.prev !== head) break;
    upto = link.seq;
    head = link.hash;
  }
  return { upto, head };
}
