import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type SseEvent, SseParser } from '../../../dashboard/web/data/sse-parser.ts';

const parse = (chunks: readonly string[]): SseEvent[] => {
  const parser = new SseParser();
  return chunks.flatMap(chunk => parser.push(chunk));
};

// WHATWG HTML Living Standard, section 9.2.6 "Interpreting an event stream": its examples and rules.
describe('server-sent events', () => {
  it('joins data lines (the standard’s stock example)', () => {
    expect(parse(['data: YHOO\ndata: +2\ndata: 10\n\n'])).toEqual([
      { name: 'message', data: 'YHOO\n+2\n10', id: '' },
    ]);
  });

  it('keeps ids, and an empty id resets them (the standard’s second example)', () => {
    const events = parse([
      ': test stream\n\ndata: first event\nid: 1\n\ndata:second event\nid\n\ndata:  third event\n\n',
    ]);
    expect(events.map(({ data, id }) => [data, id])).toEqual([
      ['first event', '1'],
      ['second event', ''],
      [' third event', ''],
    ]);
  });

  it('does not dispatch what is not ended by a blank line', () => {
    expect(parse(['data: half\n'])).toEqual([]);
  });

  it('gives the same events for any chunking and any line end', () => {
    const stream = 'id: 7\nevent: live\ndata: {"a":1}\n\n: ping\n\nevent: rig\ndata: x\ndata: y\n\n';
    const whole = parse([stream]);
    expect(whole).toHaveLength(2);
    const cuts = fc.array(fc.nat(stream.length * 2), { maxLength: 12 });
    fc.assert(
      fc.property(cuts, fc.constantFrom('\n', '\r', '\r\n'), (places, end) => {
        const text = stream.replaceAll('\n', end);
        const sorted = [0, ...places.filter(place => place < text.length).sort((a, b) => a - b), text.length];
        const chunks = sorted.slice(1).map((to, i) => text.slice(sorted[i], to));
        expect(parse(chunks)).toEqual(whole);
      }),
    );
  });
});
