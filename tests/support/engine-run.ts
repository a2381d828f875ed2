import type { EngineAssignment, EngineEffect, EngineSettings } from '#core/pass/engine-api';
import {
  createPassEngine,
  DEFAULT_ENGINE_SETTINGS,
  type EngineOptions,
  type LabelledPassEngine,
} from '#core/pass/pass-engine';
import type { Procedure } from '#core/procedure/procedure';
import type { Channel } from '#core/sample/channels';
import type { SampleChunk } from '#core/sample/chunk';

/** What each channel reads for a stretch of time; a function takes seconds since the stretch began. */
export type Reading = { readonly [K in Channel]?: number | ((s: number) => number) };

/** Samples at a fixed period, one stretch after another. Readings jitter by a millionth so as not to be held. */
export class SignalWriter {
  private us = 0;
  private count = 0;
  private readonly periodUs: number;
  private readonly lengthUs: number | null;

  constructor(options: { periodS: number; framed?: boolean }) {
    this.periodUs = Math.round(options.periodS * 1e6);
    this.lengthUs = options.framed ? this.periodUs : null;
  }

  get seconds(): number {
    return this.us / 1e6;
  }

  skip(seconds: number): void {
    this.us += Math.round(seconds * 1e6);
  }

  stretch(seconds: number, reading: Reading): SampleChunk {
    const n = Math.round((seconds * 1e6) / this.periodUs);
    const tUs = Float64Array.from({ length: n }, (_, i) => this.us + i * this.periodUs);
    const columns: { [K in Channel]?: Float64Array } = {};
    for (const [channel, value] of Object.entries(reading) as [Channel, number | ((s: number) => number)][]) {
      columns[channel] = Float64Array.from(tUs, (t, i) => {
        const plain = typeof value === 'number' ? value : value((t - this.us) / 1e6);
        return channel === 'weldingCurrent'
          ? plain * (1 + ((this.count + i) % 2 === 0 ? 1e-6 : -1e-6))
          : plain;
      });
    }
    this.us += n * this.periodUs;
    this.count += n;
    return {
      n,
      tUs,
      lengthUs: this.lengthUs === null ? null : new Float64Array(n).fill(this.lengthUs),
      columns,
    };
  }
}

export function newEngine(
  settings: Partial<EngineSettings> = {},
  options: EngineOptions = {},
): LabelledPassEngine {
  return createPassEngine({ ...DEFAULT_ENGINE_SETTINGS, samplePeriodS: 0.01, ...settings }, options);
}

export function closedPasses(effects: readonly EngineEffect[]): Extract<EngineEffect, { kind: 'pass' }>[] {
  return effects.flatMap(effect => (effect.kind === 'pass' && effect.state === 'closed' ? [effect] : []));
}

export function eventsOf(
  effects: readonly EngineEffect[],
  type: string,
): Extract<EngineEffect, { kind: 'event' }>[] {
  return effects.flatMap(effect => (effect.kind === 'event' && effect.type === type ? [effect] : []));
}

/** A procedure with one pass and the limits given. Invented, for tests of rules only. */
export function procedureWith(
  limits: Procedure['passes'][number]['limits'],
  extra: Partial<Procedure> = {},
): Procedure {
  return {
    schema: 'girthlog.procedure/1',
    id: 'test',
    revision: 1,
    title: 'Test',
    exampleOnly: true,
    passes: [{ name: 'fill 1', type: 'fill', wire: { diameterMm: 1 }, limits }],
    ...extra,
  };
}

export function assignmentOf(extra: Partial<EngineAssignment> = {}): EngineAssignment {
  return {
    id: 'a1',
    joint: 'J-1',
    side: 'B',
    pass: 'fill 1',
    outsideDiameterMm: 610,
    startDegrees: 0,
    procedureId: 'test',
    procedureRevision: 1,
    procedure: procedureWith([]),
    ...extra,
  };
}
