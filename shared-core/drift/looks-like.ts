/**
 * What a change along the weld looks like: at most three causes of the fault catalogue, each with what speaks for and against it.
 * Never a verdict.
 *
 * How it is weighed. Each cause gets a size, fitted from the sign that shows it best (tip distance and slip by the burn-off line
 * feed = α·I + β·L·I², Lesnewich; resistance by ΔU/I), and with it says where every known sign should be, z₀ standard deviations of good
 * windows off, ± a share of that. A sign seen at z gives
 *   (z² − r²)/2, at most 4, for a cause that expects it to move: how much better than "nothing changed" it is explained,
 *   −(r² − 4)/2, at most 8, for what lies more than 2 deviations from where the cause puts it; r = (z − z₀)/√(1 + (share·z₀)²).
 * To that come remarks (at once or growing, from the start of the pass, drop-outs), whose points stand in looks-like-causes.ts and are a
 * judgement of ours, no source. The score is the sum. A channel that is not known gives nothing either way and is named.
 * Causes with a score of at least 1 are told, largest first; of equals, the one earlier in the catalogue.
 */

import type { LooksLike } from '../messages/drift.ts';
import type { ChangeEvidence } from './change-evidence.ts';
import { hypothesesOf } from './looks-like-causes.ts';
import { looksLikeSigns, SIGN_NAMES, type SignName } from './looks-like-signs.ts';
import { weigh } from './looks-like-weigh.ts';

/** For every screen and sheet that shows causes. */
export const LOOKS_LIKE_CAUTION =
  'Possible causes only, found by arithmetic from the readings: no verdict, and others are possible.';

const MOST = 3;
const LEAST_SCORE = 1;
const TEXT_MAX = 300;
const EVIDENCE_MAX = 200;
const EVIDENCE_COUNT = 6;

/** As many of the sentences, in order, as fit. */
const fitting = (sentences: readonly string[]): string =>
  sentences
    .reduce((text, next) => (`${text} ${next}`.length <= TEXT_MAX ? `${text} ${next}` : text), '')
    .trim()
    .slice(0, TEXT_MAX);

const short = (texts: readonly string[]): string[] =>
  texts.slice(0, EVIDENCE_COUNT).map(text => text.slice(0, EVIDENCE_MAX));

const notKnown = (unknown: readonly SignName[]): string[] =>
  unknown.length === 0 ? [] : [`Not known: ${unknown.map(name => SIGN_NAMES[name]).join(', ')}.`];

/** At most three causes that fit the change, likeliest first; none where nothing fits. */
export function looksLike(evidence: ChangeEvidence): LooksLike[] {
  const signs = looksLikeSigns(evidence);
  return hypothesesOf(evidence, signs)
    .map(hypothesis => ({ hypothesis, weighed: weigh(hypothesis, signs) }))
    .filter(({ weighed }) => weighed.score >= LEAST_SCORE)
    .sort((a, b) => b.weighed.score - a.weighed.score)
    .slice(0, MOST)
    .map(({ hypothesis: { cause, sentences }, weighed }) => ({
      cause,
      text: fitting([...sentences, ...notKnown(weighed.unknown)]),
      speaksFor: short(weighed.speaksFor),
      speaksAgainst: short(weighed.speaksAgainst),
    }));
}
