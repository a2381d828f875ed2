import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { RigEvent } from '#core/messages/event';
import { recordBodySchema } from '#core/messages/record';
import { fromBase64 } from '#core/sample/base64';
import type { SampleChunk } from '#core/sample/chunk';
import { decodeChunk } from '#core/sample/codec';
import {
  type BatchContent,
  type BodyHeader,
  batchBodies,
  MAX_BODY_BYTES,
} from '../../../edge/capture/batch-bodies.ts';
import { DriftRig, driftOf } from '../../support/drift-weld.ts';
import { newEngine } from '../../support/engine-run.ts';
import { passMessage } from './pass-fixture.ts';

const HEADER: BodyHeader = {
  origin: 'simulated',
  site: 'spread-1',
  rig: 'rig-a',
  at: '2026-06-01T08:00:00.000Z',
  clock: { state: 'unsynced', offsetMs: null },
  utcMinusRecordMs: 0,
};

/** Readings no codec can make small. */
function samples(n: number): SampleChunk {
  let state = 12_345;
  const next = (): number => {
    state = (state * 1_103_515_245 + 12_345) % 2 ** 31;
    return state;
  };
  return {
    n,
    tUs: Float64Array.from({ length: n }, (_, i) => 1_000_000 + i * 1000 + (next() % 900)),
    lengthUs: null,
    columns: {
      weldingCurrent: Float64Array.from({ length: n }, () => (next() % 5000) / 10),
      power: Float64Array.from({ length: n }, () => next() % 1_000_000),
    },
  };
}

function event(n: number, text: string): RigEvent {
  return {
    origin: 'simulated',
    id: `s:${n}`,
    type: 'storage',
    tUs: n,
    at: '2026-06-01T08:00:00.000Z',
    passIndex: null,
    text,
    data: {},
  };
}

const travels = (text: string): number => Buffer.byteLength(JSON.stringify(text));
const nothing: BatchContent = { samples: null, events: [], passes: [] };

describe('the bodies of a batch', () => {
  it('are one where that is small enough, exactly as the schema says', () => {
    const content = { samples: samples(50), events: [event(1, 'a')], passes: [passMessage()] };
    const [body, ...more] = batchBodies(HEADER, content);
    expect(more).toEqual([]);
    expect(recordBodySchema.parse(JSON.parse(body!.text))).toMatchObject({
      schema: 'girthlog.record/1',
      ...HEADER,
    });
  });

  it('carry unknown values as unknown', () => {
    const chunk = samples(3);
    chunk.columns.power![1] = Number.NaN;
    const [body] = batchBodies(HEADER, { ...nothing, samples: chunk });
    const encoded = recordBodySchema.parse(JSON.parse(body!.text)).samples!;
    expect(decodeChunk(fromBase64(encoded.data)).columns.power![1]).toBeNaN();
  });

  it('lose, repeat and reorder nothing when they are split, and each fits a packet', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 60_000 }),
        fc.array(fc.string({ unit: 'grapheme', maxLength: 150 }), { maxLength: 400 }),
        fc.integer({ min: 0, max: 4 }),
        (n, texts, passes) => {
          const content: BatchContent = {
            samples: n === 0 ? null : samples(n),
            events: texts.map((text, i) => event(i, text)),
            passes: Array.from({ length: passes }, () => passMessage({ deviations: 60 })),
          };
          const bodies = batchBodies(HEADER, content);
          for (const { text } of bodies) expect(travels(text)).toBeLessThanOrEqual(MAX_BODY_BYTES);
          const parsed = bodies.map(({ text }) => recordBodySchema.parse(JSON.parse(text)));
          const times = parsed.flatMap(({ samples: s }) =>
            s ? [...decodeChunk(fromBase64(s.data)).tUs] : [],
          );
          expect(times).toEqual([...(content.samples?.tUs ?? [])]);
          expect(parsed.flatMap(({ events }) => events)).toEqual(content.events);
          expect(parsed.flatMap(body => body.passes)).toEqual(content.passes);
        },
      ),
      { numRuns: 20 },
    );
  });

  it('cut the calls of a pass that is too large alone, and how many is on record', () => {
    const looksLike = Array.from({ length: 3 }, () => ({
      cause: 'stick-out longer',
      text: 'x'.repeat(300),
      speaksFor: new Array<string>(6).fill('y'.repeat(200)),
      speaksAgainst: new Array<string>(6).fill('z'.repeat(200)),
    }));
    const drift = driftOf(
      new DriftRig(newEngine({ samplePeriodS: 0.02 })).weld({
        seed: 2,
        change: { weldingCurrent: mm => (mm > 200 ? -19 : 0) },
      }),
    );
    const calls = Array.from({ length: 24 }, (_, i) => ({ ...drift.calls[0]!, number: i + 1, looksLike }));
    const message = passMessage({ deviations: 20 });
    const whole = { ...message, pass: { ...message.pass, drift: { ...drift, calls } } };
    const [body, ...more] = batchBodies(HEADER, { ...nothing, passes: [whole] });
    expect(more).toEqual([]);
    expect(travels(body!.text)).toBeLessThanOrEqual(MAX_BODY_BYTES);
    const [pass] = recordBodySchema.parse(JSON.parse(body!.text)).passes;
    const kept = pass!.pass.drift!;
    expect(kept.calls.length).toBeGreaterThan(0);
    expect(kept.calls.length + kept.callsCut).toBe(24);
    expect(pass!.deviations).toHaveLength(20);
  });

  it('cut the deviations of a pass that is too large alone, and the pass says so', () => {
    const whole = passMessage({ deviations: 2000 });
    const [body, ...more] = batchBodies(HEADER, { ...nothing, passes: [whole] });
    expect(more).toEqual([]);
    expect(travels(body!.text)).toBeLessThanOrEqual(MAX_BODY_BYTES);
    const [pass] = recordBodySchema.parse(JSON.parse(body!.text)).passes;
    expect(pass!.deviations.length).toBeGreaterThan(50);
    expect(body!.deviationsCut).toBe(2000 - pass!.deviations.length);
    expect(pass!.pass.reasons).toEqual([
      expect.objectContaining({
        code: 'listCut',
        fields: ['deviations'],
        text: expect.stringContaining('only the first'),
      }),
    ]);
    // What is told on the pass topic is what is on record.
    expect(body!.passes).toEqual([pass]);
  });
});
