/**
 * Which shift a moment belongs to: named by the day it began, from 06:00 to 06:00 of the next day, so that work past
 * midnight stays with it. The hour is common practice, no source.
 */
import { localMoment, localTime } from '../csv/local-time.ts';

export const SHIFT_BEGINS_HOUR = 6;

/** A moment as a clock on a wall shows it; month from 1. */
export interface WallClock {
  readonly year: number;
  readonly month: number;
  readonly day: number;
  readonly hour: number;
}

/** "2026-05-12": the day the shift of this moment began. */
export function shiftDateOf({ year, month, day, hour }: WallClock): string {
  const began = Date.UTC(year, month - 1, day - (hour < SHIFT_BEGINS_HOUR ? 1 : 0));
  return new Date(began).toISOString().slice(0, 10);
}

/** The same of a moment UTC, by the clocks of one zone. */
export function shiftDateAt(utcMs: number, zone: string): string {
  const [year = 0, month = 1, day = 1, hour = 0] = localTime(zone)(utcMs).split(/[-T:]/).map(Number);
  return shiftDateOf({ year, month, day, hour });
}

export interface ShiftSpan {
  readonly fromMs: number;
  /** Not included. */
  readonly toMs: number;
}

/** From the hour a shift begins to the same of the next day, ms UTC; null for a date that does not exist. */
export function shiftSpan(date: string, zone: string): ShiftSpan | null {
  const fromMs = localMoment(date, SHIFT_BEGINS_HOUR, zone);
  const toMs = localMoment(date, SHIFT_BEGINS_HOUR + 24, zone);
  return fromMs === null || toMs === null ? null : { fromMs, toMs };
}

/** "2026-05-13" and −1 → "2026-05-12". The date exists. */
export function daysLater(date: string, days: number): string {
  return new Date(Date.parse(`${date}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10);
}
