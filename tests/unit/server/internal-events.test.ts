import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pino } from 'pino';
import { describe, expect, it } from 'vitest';
import { INTERNAL_EVENT_NAMES, InternalEvents } from '../../../dashboard/server/internal-events.ts';

function setUp() {
  let nowMs = 0;
  const lines: Record<string, unknown>[] = [];
  const log = pino({ level: 'info' }, { write: (line: string) => lines.push(JSON.parse(line)) });
  const events = new InternalEvents(log, () => nowMs);
  const later = (ms: number): void => {
    nowMs += ms;
  };
  return { events, lines, later };
}

describe('InternalEvents', () => {
  it('counts all and writes at most one line a second of one name', () => {
    const { events, lines, later } = setUp();
    for (let i = 0; i < 1000; i++) events.report('payloadNotJson', { detail: `${i}` });
    events.report('topicForeign');
    expect(lines.map(line => line['event'])).toEqual(['payloadNotJson', 'topicForeign']);
    later(1000);
    events.report('payloadNotJson');
    expect(lines.at(-1)).toMatchObject({ event: 'payloadNotJson', suppressed: 999 });
    expect(events.counters()).toEqual({ payloadNotJson: 1001, topicForeign: 1 });
  });

  it('keeps what others wrote inside one JSON string', () => {
    const { events, lines } = setUp();
    events.report('topicForeign', { detail: 'x\n{"level":60,"msg":"forged"}\u2028' });
    expect(lines).toHaveLength(1);
    expect(lines[0]!['detail']).toContain('forged');
  });

  it('counts what is below the log level too', () => {
    const { events, lines } = setUp();
    events.report('recordStored', {}, 40);
    expect(lines).toEqual([]);
    expect(events.counters()).toEqual({ recordStored: 40 });
  });

  it('has no name that nothing reports', () => {
    const server = join(import.meta.dirname, '../../../dashboard/server');
    const code = readdirSync(server, { recursive: true, encoding: 'utf8' })
      .filter(file => file.endsWith('.ts') && file !== 'internal-events.ts')
      .map(file => readFileSync(join(server, file), 'utf8'))
      .join('\n');
    expect(INTERNAL_EVENT_NAMES.filter(name => !code.includes(`'${name}'`))).toEqual([]);
  });
});
