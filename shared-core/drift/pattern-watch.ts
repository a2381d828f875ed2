/**
 * Do the channels go together as on good welds? Hotelling's T² of each window against the rig's covariance. One window
 * beyond the limit is a mishap, two in a row are a pattern; three back inside end it.
 */
import { DRIFT_CHANNELS, type DriftCall, type DriftSettings } from '../messages/drift.ts';
import { inverseOfPositiveDefinite } from '../statistics/linear-algebra.ts';
import { FIRST_SPREAD } from './drift-values.ts';
import { type Baseline, contributions, tSquared, tSquaredLimit } from './hotelling.ts';
import type { Targets } from './targets.ts';

const TO_BEGIN = 2;
const TO_END = 3;

interface Model {
  readonly channels: readonly number[];
  readonly baseline: Baseline;
  readonly limit: number;
}

export interface PatternWindow {
  readonly tSquared: number;
  readonly limit: number;
  readonly contributions: DriftCall['contributions'];
}

export class PatternWatch {
  private readonly settings: DriftSettings;
  private readonly models = new Map<string, Model | null>();
  private beyond = 0;
  private inside = 0;

  constructor(settings: DriftSettings) {
    this.settings = settings;
  }

  /** T² of a window with its channels' distances from their targets; null where it cannot be said. */
  window(
    off: Float64Array,
    offsets: readonly number[],
    targets: Targets,
    zone: number,
  ): PatternWindow | null {
    const known: number[] = [];
    for (let channel = 0; channel < FIRST_SPREAD; channel++) {
      if (!Number.isNaN(off[channel]!)) known.push(channel);
    }
    const model = this.model(known, targets, zone);
    if (!model) return null;
    const x = model.channels.map(channel => off[channel]! - offsets[channel]!);
    return {
      tSquared: tSquared(model.baseline, x),
      limit: model.limit,
      contributions: contributions(model.baseline, x).map(({ channel, amount, deviations }) => ({
        quantity: DRIFT_CHANNELS[model.channels[channel]!]!,
        amount,
        deviations,
      })),
    };
  }

  /** What a window changes; `open`: a pattern has been called. */
  follow(found: PatternWindow, open: boolean): 'begins' | 'ends' | null {
    if (found.tSquared > found.limit) {
      this.beyond++;
      this.inside = 0;
      return !open && this.beyond >= TO_BEGIN ? 'begins' : null;
    }
    this.beyond = 0;
    this.inside++;
    return open && this.inside >= TO_END ? 'ends' : null;
  }

  private model(known: readonly number[], targets: Targets, zone: number): Model | null {
    const key = `${zone}:${known.join()}`;
    const made = this.models.get(key);
    if (made !== undefined) return made;
    const model = modelOf(known, targets, this.settings.patternConfidence);
    this.models.set(key, model);
    return model;
  }
}

/** A pattern takes at least two channels. */
function modelOf(
  channels: readonly number[],
  { baseline, sigma }: Targets,
  confidence: number,
): Model | null {
  const { covariance, windows: count } = baseline;
  const p = channels.length;
  if (covariance === null || p < 2 || count < p + 2) return null;
  const at = channels.map(channel => baseline.channels.indexOf(DRIFT_CHANNELS[channel]!));
  const size = baseline.channels.length;
  const standardDeviation = Float64Array.from(channels, channel => sigma[channel]!);
  const correlation = new Float64Array(p * p);
  for (let i = 0; i < p; i++) {
    for (let j = 0; j < p; j++) {
      correlation[i * p + j] =
        covariance[at[i]! * size + at[j]!]! / (standardDeviation[i]! * standardDeviation[j]!);
    }
  }
  const inverse = inverseOfPositiveDefinite(correlation, p, 1e-6);
  if (inverse === null) return null;
  const inverseCovariance = inverse.map(
    (value, i) => value / (standardDeviation[Math.floor(i / p)]! * standardDeviation[i % p]!),
  );
  const mean = new Float64Array(p);
  const model: Baseline = { channels: p, count, mean, standardDeviation, inverseCovariance };
  return { channels, baseline: model, limit: tSquaredLimit({ channels: p, count }, confidence) };
}
