/** Signs of a change: how far each channel is from what good welds have, with the current held against the burn-off line. */

import { type BurnOff, burnOffCurrent, burnOffOf } from '../metal/burn-off.ts';
import type { ChangeEvidence, ChannelChange } from './change-evidence.ts';

export interface Sign {
  /** Signed, in standard deviations of good window means. */
  readonly z: number;
  /** In the channel's own unit. */
  readonly change: number;
  /** Share of the baseline, −0.08 is 8 % low. */
  readonly share: number;
  /** Standard deviation of good window means, in the channel's unit; null where nothing tells it. */
  readonly sigma: number | null;
}

/** Names of the signs as people read them, in the order in which they are told. */
export const SIGN_NAMES = {
  current: 'current',
  voltage: 'voltage',
  feed: 'wire feed',
  travel: 'travel',
  gas: 'gas flow',
  currentSpread: 'unrest of the current',
  voltageSpread: 'unrest of the voltage',
} as const;
export type SignName = keyof typeof SIGN_NAMES;
export const SIGN_ORDER = Object.keys(SIGN_NAMES) as readonly SignName[];

export interface Signs {
  /** Null: the channel is not known. Current: against the burn-off line at the feed that is read, where that is known. */
  readonly of: { readonly [K in SignName]: Sign | null };
  /** Mean current since the onset, A; null where unknown. */
  readonly currentA: number | null;
  /** Current as read, against good welds, without regard to the feed. */
  readonly plainCurrent: Sign | null;
  readonly feedMmPerS: number | null;
  /**
   * The rig's own burn-off line, in terms of the book's: I(rig) = scale × I(book). Null without wire diameter or feed: then the current is
   * held against good welds alone.
   */
  readonly line: RigLine | null;
}

export interface RigLine {
  readonly burnOff: BurnOff;
  readonly wireDiameterMm: number;
  readonly ctwdMm: number;
  /** False: nothing gives the distance and a usual one is taken. That is near enough to follow the feed, and no length is told from it. */
  readonly ctwdKnown: boolean;
  readonly scale: number;
}

/** Usual tip distance of mechanised girth welding with 0.9–1.2 mm wire (common practice, 8–16 mm, no source). */
const USUAL_CTWD_MM = 12;
/** Where nothing tells how a channel spreads: the usual standard uncertainty of a current measurement (1.5 %, common practice). */
const SPREAD_UNTOLD = 0.015;

function signOf(change: ChannelChange | undefined): Sign | null {
  if (change === undefined) return null;
  const { baseline, now, deviations } = change;
  if (![baseline, now, deviations].every(Number.isFinite)) return null;
  const off = now - baseline;
  const told = off !== 0 && deviations !== 0 ? Math.abs(off / deviations) : null;
  const share = baseline === 0 ? 0 : off / Math.abs(baseline);
  return { z: deviations, change: off, share, sigma: change.sigma ?? told };
}

function lineOf(evidence: ChangeEvidence): RigLine | null {
  const { weldingCurrent, wireFeedSpeed } = evidence.channels;
  const { wireDiameterMm, nominalCtwdMm } = evidence;
  if (weldingCurrent === undefined || wireFeedSpeed === undefined) return null;
  if (wireDiameterMm === null) return null;
  if (!(wireFeedSpeed.baseline > 0 && wireFeedSpeed.now > 0 && weldingCurrent.baseline > 0)) return null;
  const burnOff = burnOffOf(wireDiameterMm);
  const ctwdMm = nominalCtwdMm ?? USUAL_CTWD_MM;
  const scale = weldingCurrent.baseline / burnOffCurrent(burnOff, wireFeedSpeed.baseline, ctwdMm);
  return { burnOff, wireDiameterMm, ctwdMm, ctwdKnown: nominalCtwdMm !== null, scale };
}

/** Current against the rig's line at the feed that is read now. */
function residualOf(plain: Sign, current: ChannelChange, feedNow: number, line: RigLine): Sign {
  const expected = line.scale * burnOffCurrent(line.burnOff, feedNow, line.ctwdMm);
  const change = current.now - expected;
  const sigma = plain.sigma ?? SPREAD_UNTOLD * current.baseline;
  return { z: change / sigma, change, share: change / expected, sigma };
}

export function looksLikeSigns(evidence: ChangeEvidence): Signs {
  const { channels } = evidence;
  const line = lineOf(evidence);
  const plainCurrent = signOf(channels.weldingCurrent);
  const feed = signOf(channels.wireFeedSpeed);
  const current =
    line !== null && plainCurrent !== null
      ? residualOf(plainCurrent, channels.weldingCurrent!, channels.wireFeedSpeed!.now, line)
      : plainCurrent;
  return {
    of: {
      current,
      voltage: signOf(channels.arcVoltage),
      feed,
      travel: signOf(channels.travelSpeed),
      gas: signOf(channels.gasFlow),
      currentSpread: signOf(channels.currentSpread),
      voltageSpread: signOf(channels.voltageSpread),
    },
    currentA: channels.weldingCurrent?.now ?? null,
    plainCurrent,
    feedMmPerS: channels.wireFeedSpeed?.now ?? null,
    line,
  };
}
