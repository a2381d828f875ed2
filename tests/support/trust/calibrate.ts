/** How big a fault must be for its main channel to shift by so many standard deviations of good windows: found by measuring. */
import { setPointOf } from '../simulated-pass.ts';
import { MAIN_CHANNELS, meansOf, referenceWindows } from './reference-windows.ts';
import { type TrialPass, weldTrialPass } from './trial-pass.ts';
import { SEVERITIES, type SeverityName, type TrustFault } from './trust-faults.ts';

const PROBE_MM = 200;
const ROUNDS = 4;
/** Close enough: this share of the wanted shift. */
const CLOSE = 0.03;

export interface Sized {
  readonly size: number;
  /** Shift of the main channel that it gives, in its own unit and in standard deviations. */
  readonly shift: number;
  readonly sigmas: number;
}
export type SizesOf = Readonly<Record<SeverityName, Sized>>;

const probe = (fault: TrustFault, pass: string, faults: TrialPass['faults']): number[] =>
  meansOf(
    referenceWindows(
      weldTrialPass({ seed: 1, rig: fault.rig, pass, lengthMm: PROBE_MM, events: false, faults }),
    ),
  );

/** `sigma`: of good windows of the main channel. The same seed with and without the fault, so that noise cancels. */
export function calibrate(fault: TrustFault, pass: string, sigma: number): SizesOf {
  const channel = MAIN_CHANNELS.indexOf(fault.main);
  const good = probe(fault, pass, [])[channel]!;
  const sized = (size: number): Sized => {
    const faults = fault.plan(size, { fromMm: 0, rampMm: 0 }, setPointOf(pass));
    const shift = probe(fault, pass, faults)[channel]! - good;
    return { size, shift, sigmas: shift / sigma };
  };
  const [least, most] = fault.sizes;
  if (fault.given) {
    const { mild, medium, severe } = fault.given;
    return { mild: sized(mild), medium: sized(medium), severe: sized(severe) };
  }
  if (least === most) {
    const only = sized(least);
    return { mild: only, medium: only, severe: only };
  }
  const clamped = (size: number): number => Math.min(Math.max(size, least), most);
  const find = (wanted: number, from: number): Sized => {
    let now = sized(clamped(from));
    for (let round = 0; round < ROUNDS; round++) {
      const reached = Math.abs(now.sigmas);
      if (Math.abs(reached / wanted - 1) < CLOSE) break;
      // Nearly in proportion, so the ratio is a good next step; a shift lost in noise asks for a bold one.
      const factor = reached > 0 ? Math.min(8, wanted / reached) : 8;
      const next = clamped(now.size * factor);
      if (next === now.size) break;
      now = sized(next);
    }
    return now;
  };
  const start = Math.abs(most) > Math.abs(least) ? most / 20 : least / 20;
  const mild = find(SEVERITIES.mild, start);
  const medium = find(SEVERITIES.medium, mild.size * 2);
  return { mild, medium, severe: find(SEVERITIES.severe, medium.size * 2) };
}
