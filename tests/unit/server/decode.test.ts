import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeMessage } from '../../../dashboard/server/ingest/decode.ts';
import { verifyRecord } from '../../../dashboard/server/ingest/verify-record.ts';
import { seal, testBody, testChain, testChunk, testLive } from '../../support/test-records.ts';

const TOPIC = 'girthlog/1/spread-1/rig-a/';
const RIG = { site: 'spread-1', rig: 'rig-a' };
const bytes = (value: unknown): Uint8Array =>
  Buffer.from(typeof value === 'string' ? value : JSON.stringify(value));

function refusal(topic: string, payload: Uint8Array): string {
  const decoded = decodeMessage(topic, payload);
  return decoded.ok ? 'taken' : decoded.event;
}

describe('decodeMessage', () => {
  it('takes a live summary', () => {
    const decoded = decodeMessage(`${TOPIC}live`, bytes(testLive(1_000_000)));
    expect(decoded).toMatchObject({ ok: true, address: RIG, edge: { kind: 'live' } });
  });

  it('passes over what the dashboard itself has said', () => {
    for (const kind of ['ack/truck', 'assignment', 'procedure/example-610']) {
      expect(decodeMessage(TOPIC + kind, bytes('anything'))).toMatchObject({ ok: true, edge: null });
    }
  });

  const live = testLive(1_000_000);
  const refused: readonly (readonly [string, string, string, Uint8Array])[] = [
    ['not JSON', 'payloadNotJson', 'live', bytes('{')],
    ['empty', 'payloadNotJson', 'live', bytes('')],
    ['not UTF-8', 'payloadNotText', 'live', Uint8Array.of(0x22, 0xff, 0x22)],
    ['too large', 'payloadTooLarge', 'live', bytes(`"${'x'.repeat(65_536)}"`)],
    ['nested 10,000 deep', 'payloadInvalid', 'live', bytes('['.repeat(10_000) + ']'.repeat(10_000))],
    ['null', 'payloadInvalid', 'status', bytes('null')],
    [
      '__proto__',
      'payloadInvalid',
      'live',
      bytes(`{"__proto__":{"state":"ready"},${JSON.stringify(live).slice(1)}`),
    ],
    ['an unknown key', 'payloadInvalid', 'live', bytes({ ...live, more: 1 })],
    [
      'an integer beyond 2^53',
      'payloadInvalid',
      'live',
      bytes(JSON.stringify(live).replace('1000000', '9007199254740993')),
    ],
    ['infinity', 'payloadInvalid', 'live', bytes(JSON.stringify(live).replace('236', '1e999'))],
    ['a number as text', 'payloadInvalid', 'live', bytes(JSON.stringify(live).replace('236', '"236"'))],
    ['another schema version', 'topicForeign', '../2/live', bytes(live)],
    ['another kind', 'topicForeign', 'command', bytes(live)],
    ['a level too many', 'topicForeign', 'live/x', bytes(live)],
    ['no origin', 'payloadInvalid', 'live', bytes({ ...live, origin: undefined })],
  ];
  it.each(refused)('refuses %s as %s', (_what, event, kind, payload) => {
    expect(refusal(TOPIC + kind, payload)).toBe(event);
  });

  it('never throws and never changes the prototype, whatever the topic and the bytes', () => {
    const kinds = fc.constantFrom(
      'status',
      'info',
      'live',
      'record',
      'event',
      'pass',
      'alarms',
      'health',
      'ack/x',
      'x',
    );
    const payload = fc.oneof(
      fc.uint8Array({ maxLength: 300 }),
      fc.json().map(text => bytes(text)),
      fc.json({ noUnicodeString: false }).map(text => bytes(`{"__proto__":${text}}`)),
    );
    fc.assert(
      fc.property(kinds, payload, fc.string(), (kind, content, odd) => {
        decodeMessage(TOPIC + kind, content);
        decodeMessage(odd, content);
        expect(({} as Record<string, unknown>)['state']).toBeUndefined();
      }),
      { numRuns: 500 },
    );
  });
});

describe('verifyRecord', () => {
  const [first] = testChain(1);

  it('takes a record whose hash holds, with its samples decoded', () => {
    const verified = verifyRecord(RIG, first!);
    expect(verified).toMatchObject({ ok: true, note: null, record: { unreadable: null } });
    expect(verified.ok && verified.record.samples?.chunk.n).toBe(100);
  });

  it('refuses any change to body, number, stream or predecessor', () => {
    const changes = [
      { ...first!, body: first!.body.replace('spread-1', 'spread-2') },
      { ...first!, seq: 2 },
      { ...first!, stream: 'f'.repeat(32) },
      { ...first!, prev: '1'.repeat(64) },
      { ...first!, hash: '0'.repeat(64) },
    ];
    for (const changed of changes) {
      expect(verifyRecord(RIG, changed)).toEqual({ ok: false, event: 'recordHashMismatch' });
    }
  });

  it('refuses another rig and another origin than the one it travels under', () => {
    expect(verifyRecord({ ...RIG, rig: 'rig-b' }, first!)).toEqual({ ok: false, event: 'recordOtherRig' });
    const body = JSON.stringify(testBody({ origin: 'simulated' }));
    expect(verifyRecord(RIG, seal(body, 1, undefined, undefined, 'real'))).toEqual({
      ok: false,
      event: 'recordOriginMismatch',
    });
  });

  it('keeps a body it cannot read, since the hash says that this is what was recorded', () => {
    for (const body of ['not JSON', '{}', JSON.stringify({ ...testBody(), schema: 'girthlog.record/2' })]) {
      expect(verifyRecord(RIG, seal(body, 1))).toMatchObject({
        ok: true,
        note: 'recordBodyUnreadable',
        record: { body: null },
      });
    }
  });

  it('keeps a record whose samples cannot be decoded or are not those announced', () => {
    const good = testBody({ chunk: testChunk(5_000_000) });
    const samples = good.samples!;
    const wrong = [
      { ...samples, data: samples.data.slice(0, 40) },
      { ...samples, data: '' },
      { ...samples, n: 99 },
      { ...samples, firstUs: 4_999_999 },
      { ...samples, lastUs: 1 },
    ];
    for (const changed of wrong) {
      const verified = verifyRecord(RIG, seal(JSON.stringify({ ...good, samples: changed }), 1));
      expect(verified).toMatchObject({ ok: true, note: 'chunkUnreadable', record: { samples: null } });
      expect(verified.ok && verified.record.body).not.toBeNull();
    }
  });

  it('refuses text with half a surrogate pair: many such texts have one hash', () => {
    expect(verifyRecord(RIG, seal('"\ud800"', 1))).toEqual({ ok: false, event: 'recordHashMismatch' });
  });
});
