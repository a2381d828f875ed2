import { convert } from '#core/units/ucum';
import { typedNumber } from '../assign/assign-form.ts';

export type TemperatureUnit = 'Cel' | '[degF]';
const KEY = 'girthlog.temperatureUnit';

export const UNIT_WORD: Readonly<Record<TemperatureUnit, string>> = { Cel: '°C', '[degF]': '°F' };

/** The unit last used on this device. */
export function keptUnit(storage: Pick<Storage, 'getItem'>): TemperatureUnit {
  try {
    return storage.getItem(KEY) === '[degF]' ? '[degF]' : 'Cel';
  } catch {
    return 'Cel';
  }
}

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
  return String(Number(value.toFixed(Math.abs(value - Math.round(value)) < 0.05 ? 0 : 1)));
}
