import { convert } from '#core/units/ucum';
import { format } from '../../text/text.ts';
import { numberText, typedNumber } from '../../text/typed-number.ts';

export type TemperatureUnit = 'Cel' | '[degF]';
const KEY = 'girthlog.temperatureUnit';

export const UNIT_WORD: Readonly<Record<TemperatureUnit, string>> = { Cel: '°C', '[degF]': '°F' };

/** The unit last typed in on this device; else that of its system of units. */
export function keptUnit(storage: Pick<Storage, 'getItem'>): TemperatureUnit {
  let kept: string | null = null;
  try {
    kept = storage.getItem(KEY);
  } catch {
    // Storage is switched off in this browser.
  }
  if (kept === '[degF]' || kept === 'Cel') return kept;
  return shownTemperatureUnit();
}

/** The unit temperatures are shown in on this device. */
export const shownTemperatureUnit = (): TemperatureUnit =>
  format().units.preheatTemperature.code === '[degF]' ? '[degF]' : 'Cel';

export function keepUnit(storage: Pick<Storage, 'setItem'>, unit: TemperatureUnit): void {
  try {
    storage.setItem(KEY, unit);
  } catch {
    // Storage is switched off in this browser: the unit lasts as long as the page.
  }
}

/** What is typed, in °C; null where it is no number. */
export function typedCel(typed: string, unit: TemperatureUnit): number | null {
  const value = typedNumber(typed);
  // A hundredth of a degree is far below what any instrument on a pipe tells.
  return value === null ? null : Number(convert(value, unit, 'Cel').toFixed(2));
}

/** A stored temperature as text in the unit asked for: whole degrees unless it was given finer. */
export function temperatureText(valueCel: number, unit: TemperatureUnit): string {
  const value = convert(valueCel, 'Cel', unit);
  return numberText(Number(value.toFixed(Math.abs(value - Math.round(value)) < 0.05 ? 0 : 1)));
}
