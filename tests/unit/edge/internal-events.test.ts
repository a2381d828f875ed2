import { describe, expect, it } from 'vitest';
import { createInternalEvents } from '../../../edge/internal-events.ts';

function bench(level = 'info') {
  const lines: Record<string, unknown>[] = [];
  const time = { ms: 0 };
  const events = createInternalEvents({
    level,
    monotonicMs: () => time.ms,
    destination: { write: text => lines.push(JSON.parse(text) as Record<string, unknown>) },
  });
  return { events, lines, time };
}

describe('an internal event', () => {
  it('is one line and one count', () => {
    const { events, lines } = bench();
    events.emit('brokerLost', { reason: 'x' });
    expect(events.counters()).toEqual({ brokerLost: 1 });
    expect(lines).toEqual([expect.objectContaining({ event: 'brokerLost', reason: 'x', level: 40 })]);
  });

  it('is counted every time and written a few times, and the lines say how many are missing', () => {
    const { events, lines, time } = bench();
    for (let i = 0; i < 10_000; i++) events.emit('messageInvalid');
    expect(events.counters()['messageInvalid']).toBe(10_000);
    expect(lines).toHaveLength(5);
    time.ms += 1000;
    events.emit('messageInvalid');
    expect(lines).toHaveLength(6);
    expect(lines[5]).toMatchObject({ alsoUnwritten: 9995 });
  });

  it('is counted below the level that is written', () => {
    const { events, lines } = bench('warn');
    events.emit('recordsSent');
    expect(events.counters()).toEqual({ recordsSent: 1 });
    expect(lines).toEqual([]);
  });

  it('keeps text from outside inside its JSON string', () => {
    const { events, lines } = bench();
    events.emit('messageInvalid', { topic: 'a\n{"level":60,"event":"forged"}' });
    expect(lines).toHaveLength(1);
    expect(lines[0]?.['topic']).toBe('a\n{"level":60,"event":"forged"}');
  });
});
