/** Anything at all on the edge's MQTT topics: never a throw, never a wrong value, always a count. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { InternalEventName, InternalEvents } from '../../edge/internal-events.ts';
import { inboxSubscriptions, receive } from '../../edge/publisher/inbox.ts';

const ADDRESS = { site: 'spread-1', rig: 'rig-a' };
const BASE = 'girthlog/1/spread-1/rig-a';

function take(topic: string, payload: Uint8Array) {
  const counts = new Map<InternalEventName, number>();
  const events: InternalEvents = {
    emit: name => counts.set(name, (counts.get(name) ?? 0) + 1),
    counters: () => ({}),
  };
  const got: unknown[] = [];
  const keep = (value: unknown): void => {
    got.push(value);
  };
  receive(
    topic,
    payload,
    ADDRESS,
    { onAck: keep, onAssignment: keep, onProcedure: keep, onTime: keep, onWatch: keep },
    events,
  );
  return { got, refused: (counts.get('messageInvalid') ?? 0) + (counts.get('messageForeign') ?? 0) };
}

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const ACK = { origin: 'simulated', store: 'truck', stream: 'a'.repeat(32), upto: 3, head: 'b'.repeat(64) };
const own = fc.constantFrom(
  `${BASE}/ack/truck`,
  `${BASE}/assignment`,
  `${BASE}/procedure/wps-1`,
  `${BASE}/watch`,
);

describe('messages from the broker', () => {
  it('listens on this rig’s own topics only', () => {
    expect(inboxSubscriptions(ADDRESS)).toEqual([
      `${BASE}/ack/+`,
      `${BASE}/assignment`,
      `${BASE}/procedure/+`,
      `${BASE}/time/+`,
      `${BASE}/watch`,
    ]);
  });

  it('any bytes on an own topic are refused once', () => {
    fc.assert(
      fc.property(own, fc.uint8Array({ maxLength: 300 }), (topic, bytes) => {
        expect(take(topic, bytes)).toEqual({ got: [], refused: 1 });
      }),
      { numRuns: 500 },
    );
  });

  it('any JSON on an own topic is refused once', () => {
    fc.assert(
      fc.property(own, fc.jsonValue(), (topic, value) => {
        expect(take(topic, utf8(JSON.stringify(value)))).toEqual({ got: [], refused: 1 });
      }),
      { numRuns: 500 },
    );
  });

  it('a true message on any topic but its own is refused once', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string({ unit: 'grapheme' }),
          fc.constantFrom(
            `${BASE}/ack`,
            `${BASE}/ack/office`,
            `${BASE}/record`,
            `${BASE}/ack/truck/x`,
            'girthlog/1/spread-1/rig-b/ack/truck',
            'girthlog/2/spread-1/rig-a/ack/truck',
            '$SYS/broker',
          ),
        ),
        topic => {
          expect(take(topic, utf8(JSON.stringify(ACK)))).toEqual({ got: [], refused: 1 });
        },
      ),
    );
  });

  it('one changed field of a true acknowledgement is refused or understood, never misread', () => {
    expect(take(`${BASE}/ack/truck`, utf8(JSON.stringify(ACK)))).toEqual({ got: [ACK], refused: 0 });
    fc.assert(
      fc.property(fc.constantFrom(...Object.keys(ACK)), fc.jsonValue(), (key, value) => {
        const changed = { ...ACK, [key]: value };
        const { got, refused } = take(`${BASE}/ack/truck`, utf8(JSON.stringify(changed)));
        // JSON has no negative zero.
        if (refused === 0) expect(got).toEqual([JSON.parse(JSON.stringify(changed))]);
        else expect(got).toEqual([]);
      }),
      { numRuns: 500 },
    );
  });

  it.each([
    ['deep nesting', utf8('['.repeat(100_000) + ']'.repeat(100_000))],
    ['a number beyond 2^53', utf8(JSON.stringify(ACK).replace('"upto":3', '"upto":9007199254740993'))],
    ['a negative number', utf8(JSON.stringify({ ...ACK, upto: -1 }))],
    ['a fraction', utf8(JSON.stringify({ ...ACK, upto: 1.5 }))],
    ['a foreign key', utf8(JSON.stringify({ ...ACK, extra: 1 }))],
    ['__proto__ as a key', utf8(`{"__proto__":{"store":"truck"},${JSON.stringify(ACK).slice(1)}`)],
    ['a megabyte', utf8(JSON.stringify({ ...ACK, head: 'b'.repeat(1_000_000) }))],
    ['nothing', utf8('')],
    ['a byte order mark and half a character', Uint8Array.of(0xef, 0xbb, 0xbf, 0xc3)],
  ])('%s is refused', (_what, payload) => {
    expect(take(`${BASE}/ack/truck`, payload)).toEqual({ got: [], refused: 1 });
  });

  it('a joint number with half of a character is refused: no pass under it could be signed', () => {
    const work = {
      procedureId: 'wps-1',
      procedureRevision: 1,
      pass: 'root',
      side: 'A',
      outsideDiameterMm: 610,
      startDegrees: 0,
    };
    const assignment = (joint: string) => {
      return {
        origin: 'simulated',
        id: 'a-1',
        at: '2026-06-01T08:00:00.000Z',
        author: 'p-1',
        work: { ...work, joint },
      };
    };
    const told = (joint: string) => take(`${BASE}/assignment`, utf8(JSON.stringify(assignment(joint))));
    expect(told('J-\ud83d').refused).toBe(1);
    // A whole character, and the same digits as plain text.
    for (const joint of ['J-\ud83d\ude00', 'J-\\ud83d', 'J-1']) {
      expect(told(joint)).toEqual({ got: [assignment(joint)], refused: 0 });
    }
  });
});
