import { describe, expect, it } from 'vitest';
import { Announcements } from '../../../dashboard/server/live/announcements.ts';

describe('Announcements', () => {
  it('tells each thing once', () => {
    const told = new Announcements('run1');
    expect(told.tell('event', 'a', { n: 1 })).toEqual({
      n: 1,
      id: 'run1-1',
      name: 'event',
      data: '{"n":1}',
    });
    expect(told.tell('event', 'a', { n: 1 })).toBeNull();
    expect(told.tell('pass', 'b', {})?.id).toBe('run1-2');
  });

  it('goes on after the id a reader had last', () => {
    const told = new Announcements('run1');
    for (let n = 1; n <= 5; n++) told.tell('event', `e${n}`, n);
    expect(told.numberOf('run1-3')).toBe(3);
    expect([4, 5, 6].map(n => told.at(n)?.data)).toEqual(['4', '5', undefined]);
    expect(told.numberOf('run1-0')).toBe(0);
    expect(told.at(1)?.data).toBe('1');
  });

  it('has no number for an id of another run, of the future, or that is none', () => {
    const told = new Announcements('run1');
    told.tell('event', 'a', 1);
    for (const id of ['run0-0', 'run1-9', 'run1-x', '', 'run1', 'run1--1'])
      expect(told.numberOf(id)).toBeNull();
  });

  it('keeps the last thousand, and says nothing of a reader that was away longer', () => {
    const told = new Announcements('run1');
    for (let n = 1; n <= 1500; n++) told.tell('event', `e${n}`, n);
    expect(told.numberOf('run1-500')).toBe(500);
    expect(told.at(501)?.data).toBe('501');
    expect(told.numberOf('run1-499')).toBeNull();
    expect(told.at(500)).toBeNull();
  });
});
