/** Causes that the burn-off line shows: stick-out, slip and feed, wire size, contact tip. */

import { burnOffCurrent, burnOffFeed, burnOffOf } from '../metal/burn-off.ts';
import type { ChangeEvidence } from './change-evidence.ts';
import {
  any,
  CAUSES,
  currentWords,
  fits,
  howLong,
  moves,
  SOURCE_OHM,
  SOURCE_WITHIN,
  shapeRemark,
  shows,
  startRemark,
  up,
  voltageFollows,
} from './looks-like-parts.ts';
import type { RigLine, Signs } from './looks-like-signs.ts';
import { type Expectation, type Hypothesis, percent, type Remark } from './looks-like-weigh.ts';

/** Diameters of solid wire, mm (ISO 544, from memory). */
const WIRE_SIZES_MM = [0.8, 0.9, 1, 1.2, 1.4, 1.6];
/** Stick-out that would explain the current, against nominal, mm. Null where it cannot be said. */
function stickOutChangeMm(line: RigLine, currentA: number, feedMmPerS: number): number | null {
  const { alpha, beta } = line.burnOff;
  const book = currentA / line.scale;
  const implied = (feedMmPerS - alpha * book) / (beta * book * book);
  return implied > 0 ? implied - line.ctwdMm : null;
}

/** Tip distances that a torch in a girth weld's groove can stand at, mm (common practice, no source). */
const REACH_MM = { least: 6, most: 25 };

function beyondReach({ line }: Signs, changeMm: number | null): Remark[] {
  if (line === null || changeMm === null || !line.ctwdKnown) return [];
  const distance = line.ctwdMm + changeMm;
  if (distance >= REACH_MM.least && distance <= REACH_MM.most) return [];
  return [
    { points: -3, text: `the tip would be ${distance.toFixed(0)} mm from the work, which is out of reach` },
  ];
}

const whereFeedIsRead = ({ feedReadAt }: ChangeEvidence, other: string): string[] => {
  if (feedReadAt === 'motor') return [`Feed is read at the motor, so ${other} cannot be told apart.`];
  return feedReadAt === null ? [`Where feed is read is not told, so ${other} cannot be told apart.`] : [];
};

function stickOut(evidence: ChangeEvidence, signs: Signs, way: -1 | 1): Hypothesis | null {
  const { current } = signs.of;
  if (!shows(current, way)) return null;
  const longer = way < 0;
  const size =
    signs.line === null || signs.feedMmPerS === null
      ? null
      : stickOutChangeMm(signs.line, signs.currentA!, signs.feedMmPerS);
  const word = longer ? 'longer' : 'shorter';
  if (signs.line !== null && size === null) return null;
  const amount =
    size === null || !signs.line?.ctwdKnown
      ? `a ${word} stick-out`
      : `a stick-out about ${Math.abs(size).toFixed(1)} mm ${word}`;
  const without =
    signs.line === null
      ? ['How much cannot be said without wire feed and wire diameter.']
      : signs.line.ctwdKnown
        ? []
        : ['How much cannot be said: the procedure gives no tip distance.'];
  return {
    cause: longer ? CAUSES.stickOutLonger : CAUSES.stickOutShorter,
    sentences: [
      `${currentWords(current, signs)}${howLong(evidence)}: like ${amount}.`,
      ...(longer ? whereFeedIsRead(evidence, 'wire slip at the rolls') : []),
      ...without,
    ],
    expects: { current: fits(current), voltage: voltageFollows(signs) },
    remarks: [shapeRemark(evidence, 0, 0.5), ...beyondReach(signs, size)],
  };
}

function slipAtMotor(evidence: ChangeEvidence, signs: Signs): Hypothesis | null {
  const { current } = signs.of;
  if (evidence.feedReadAt === 'wire' || !shows(current, -1)) return null;
  const { line, feedMmPerS, currentA } = signs;
  if (line === null || feedMmPerS === null) return null;
  const slip = 1 - burnOffFeed(line.burnOff, currentA! / line.scale, line.ctwdMm) / feedMmPerS;
  return {
    cause: CAUSES.slipAtMotor,
    sentences: [
      `${currentWords(current, signs)}${howLong(evidence)}: like wire slipping ${percent(slip)} at the rolls.`,
      ...whereFeedIsRead(evidence, 'a longer stick-out'),
      'Layer height or spool weight would tell.',
    ],
    expects: { current: fits(current), voltage: voltageFollows(signs) },
    remarks: [],
  };
}

/** Feed changes and the current follows it along the burn-off line. */
function feedChanges(evidence: ChangeEvidence, signs: Signs, slip: boolean): Hypothesis | null {
  const { feed } = signs.of;
  if (!shows(feed, slip ? -1 : 0)) return null;
  if (slip && evidence.feedReadAt === 'motor') return null;
  const plain = signs.plainCurrent;
  const follows =
    plain === null ? '' : `, current ${percent(plain.share)} ${plain.change < 0 ? 'lower' : 'higher'}`;
  const way = feed.change < 0 ? 'low' : 'high';
  const like = slip ? 'wire slipping at the rolls' : 'a feed set or driven otherwise';
  return {
    cause: slip ? CAUSES.slipOnWire : CAUSES.feedSet,
    sentences: [
      `Wire feed ${percent(feed.share)} ${way}${follows}${howLong(evidence)}: like ${like}.`,
      ...(slip ? ['A feed set lower would look the same.'] : []),
      ...(!slip && feed.change < 0 && evidence.feedReadAt !== 'motor'
        ? ['Wire slip, where feed is read on the wire, would look the same.']
        : []),
      ...(slip && evidence.feedReadAt === null
        ? ['Only where feed is read on the wire, which is not told.']
        : []),
    ],
    expects: {
      feed: fits(feed),
      current: signs.line === null ? any : moves(0, 0),
      voltage: voltageFollowsFeed(signs),
    },
    remarks: [shapeRemark(evidence, slip && evidence.feedReadAt === null ? 0.25 : 0.5, slip ? 0.5 : 0)],
  };
}

function voltageFollowsFeed(signs: Signs): Expectation {
  const { voltage } = signs.of;
  const change = signs.plainCurrent?.change ?? 0;
  if (voltage === null || voltage.sigma === null) return any;
  return moves(
    (-SOURCE_OHM * change) / voltage.sigma,
    SOURCE_WITHIN,
    'a constant-voltage source follows the current',
  );
}

function wornTip(evidence: ChangeEvidence, signs: Signs): Hypothesis | null {
  const { current, currentSpread, voltageSpread } = signs.of;
  if (!shows(current, -1)) return null;
  if (!shows(currentSpread, 1) && !shows(voltageSpread, 1) && evidence.extinctions === 0) return null;
  const { extinctions, sinceTipChangeMm: since } = evidence;
  const because = 'a worn tip wanders';
  return {
    cause: CAUSES.wornTip,
    sentences: [
      `${currentWords(current, signs)} and the arc restless${howLong(evidence)}: like a worn contact tip.`,
    ],
    expects: {
      current: fits(current),
      voltage: voltageFollows(signs),
      currentSpread: up(true, because),
      voltageSpread: up(false, because),
    },
    remarks: [
      ...(extinctions > 0 ? [{ points: 1, text: `${extinctions} drop-outs of the arc` }] : []),
      ...(since === null
        ? []
        : [{ points: 0.25, text: `${(since / 1000).toFixed(1)} m welded since the tip change` }]),
      // Two to eight per cent is what worn tips do (common practice, no source).
      ...(current.share < -0.12 ? [{ points: -2, text: 'more than worn tips usually take (2–8 %)' }] : []),
    ],
  };
}

function wireSize(evidence: ChangeEvidence, signs: Signs): Hypothesis | null {
  const { current } = signs.of;
  const { line, feedMmPerS: feed } = signs;
  if (line === null || feed === null || current === null || current.sigma === null) return null;
  const expected = burnOffCurrent(line.burnOff, feed, line.ctwdMm);
  const shareOf = (size: number): number => burnOffCurrent(burnOffOf(size), feed, line.ctwdMm) / expected - 1;
  const off = (size: number): number => Math.abs(Math.log((1 + shareOf(size)) / (1 + current.share)));
  const sizes = [...WIRE_SIZES_MM.filter(size => size !== line.wireDiameterMm), line.wireDiameterMm];
  const nearest = sizes.reduce((a, b) => (off(b) < off(a) ? b : a));
  if (nearest === line.wireDiameterMm) return null;
  const share = shareOf(nearest);
  const z = (share * line.scale * expected) / current.sigma;
  return {
    cause: CAUSES.wireSize,
    sentences: [
      `${currentWords(current, signs)}${howLong(evidence)}: ${nearest.toFixed(1)} mm wire instead of ${line.wireDiameterMm.toFixed(1)} mm would give ${percent(share)} ${share < 0 ? 'less' : 'more'}.`,
    ],
    expects: {
      current: moves(z, 0.1),
      voltage: voltageFollows(signs),
      currentSpread: any,
      voltageSpread: any,
    },
    remarks: [shapeRemark(evidence, 0, -3), ...startRemark(evidence, 1, -3)],
  };
}

export const meltingCauses = (evidence: ChangeEvidence, signs: Signs): (Hypothesis | null)[] => [
  stickOut(evidence, signs, -1),
  stickOut(evidence, signs, 1),
  slipAtMotor(evidence, signs),
  feedChanges(evidence, signs, true),
  feedChanges(evidence, signs, false),
  wornTip(evidence, signs),
  wireSize(evidence, signs),
];
