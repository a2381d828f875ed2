import { describe, expect, it } from 'vitest';
import { isTopicFilter, isTopicName, matchesFilter } from '#core/topics/filters';

/**
 * Examples of OASIS MQTT 3.1.1 and 5.0, section 4.7 (4.7.1.2, 4.7.1.3, 4.7.2, 4.7.3),
 * https://docs.oasis-open.org/mqtt/mqtt/v5.0/os/mqtt-v5.0-os.html#_Toc3901241
 */
const MATCHES: readonly (readonly [filter: string, topic: string, matches: boolean])[] = [
  ['sport/tennis/player1/#', 'sport/tennis/player1', true],
  ['sport/tennis/player1/#', 'sport/tennis/player1/ranking', true],
  ['sport/tennis/player1/#', 'sport/tennis/player1/score/wimbledon', true],
  ['sport/#', 'sport', true],
  ['sport/tennis/+', 'sport/tennis/player1', true],
  ['sport/tennis/+', 'sport/tennis/player1/ranking', false],
  ['sport/+', 'sport', false],
  ['sport/+', 'sport/', true],
  ['+/+', '/finance', true],
  ['/+', '/finance', true],
  ['+', '/finance', false],
  ['#', '$SYS/monitor/Clients', false],
  ['+/monitor/Clients', '$SYS/monitor/Clients', false],
  ['$SYS/#', '$SYS/monitor/Clients', true],
  ['$SYS/monitor/+', '$SYS/monitor/Clients', true],
];

describe('MQTT topics and filters', () => {
  it.each(MATCHES)('%s and %s', (filter, topic, matches) => {
    expect(matchesFilter(filter, topic)).toBe(matches);
  });

  it.each(['#', 'sport/tennis/#', '+', '+/tennis/#', 'sport/+/player1'])('%s is a filter', filter => {
    expect(isTopicFilter(filter)).toBe(true);
  });

  it.each(['sport/tennis#', 'sport/tennis/#/ranking', 'sport+'])('%s is not a filter', filter => {
    expect(isTopicFilter(filter)).toBe(false);
  });

  it('names: no wildcard, one character at least, no U+0000, at most 65,535 bytes (section 4.7.3)', () => {
    expect(isTopicName('a')).toBe(true);
    expect(isTopicName('/')).toBe(true);
    for (const topic of ['', 'a/+', 'a/#', 'a\u0000b']) expect(isTopicName(topic)).toBe(false);
    expect(isTopicName('x'.repeat(65_535))).toBe(true);
    expect(isTopicName('x'.repeat(65_536))).toBe(false);
    // Two bytes each in UTF-8.
    expect(isTopicName('é'.repeat(32_768))).toBe(false);
  });

  it('is case sensitive, and a leading / makes another topic (section 4.7.3)', () => {
    expect(matchesFilter('ACCOUNTS', 'Accounts')).toBe(false);
    expect(matchesFilter('finance', '/finance')).toBe(false);
  });
});
