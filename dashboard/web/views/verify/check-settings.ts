import { DEFAULT_VERIFICATION_LIMIT } from '#core/checks/verification';
import { CHECK_RULES } from '#core/journal/check-rules';
import type { CheckName } from '#core/journal/rig-entries';
import { numberText } from '../../text/typed-number.ts';
import { shownLengthUnit } from './typed-length.ts';

/** What the person at this screen last set for a check, as typed. Kept in this browser, never sent by itself. */
export interface CheckSettings {
  readonly limitPercent: string;
  /** Good for, hours. */
  readonly validHours: string;
  readonly targetS: string;
  readonly lengthUnit: 'mm' | 'in';
  /** Limits ±, one for each tape. */
  readonly tapeMm: string;
  readonly tapeIn: string;
  readonly stopwatchS: string;
  readonly readingUncertainty: string;
  readonly limitMs: string;
}

/** Limit: from memory. Times, tape, stopwatch, reading: common practice, no source. Clock limit: rigs agree to 0.2 s. */
export function defaultSettings(check: CheckName): CheckSettings {
  const reading: Partial<Record<CheckName, string>> = {
    arcVoltage: numberText(0.1),
    weldingCurrent: '1',
    gasFlow: numberText(0.25),
    temperature: '1',
  };
  return {
    limitPercent: numberText(DEFAULT_VERIFICATION_LIMIT * 100),
    validHours: String(CHECK_RULES[check].defaultHours),
    targetS: check === 'wireFeed' ? '6' : '15',
    lengthUnit: shownLengthUnit(),
    tapeMm: '1',
    tapeIn: '1/16',
    stopwatchS: numberText(0.2),
    readingUncertainty: reading[check] ?? '0',
    limitMs: '200',
  };
}

const keyOf = (check: CheckName): string => `girthlog.check.${check}`;

export function readSettings(storage: Pick<Storage, 'getItem'>, check: CheckName): CheckSettings {
  const defaults = defaultSettings(check);
  try {
    const kept = JSON.parse(storage.getItem(keyOf(check)) ?? '{}') as Record<string, unknown>;
    const known = Object.entries(defaults).map(([key, value]) => [
      key,
      typeof kept[key] === 'string' ? kept[key] : value,
    ]);
    const settings = Object.fromEntries(known) as unknown as CheckSettings;
    return settings.lengthUnit === 'in' ? settings : { ...settings, lengthUnit: 'mm' };
  } catch {
    return defaults;
  }
}

export function keepSettings(storage: Pick<Storage, 'setItem'>, check: CheckName, from: CheckSettings): void {
  const kept = Object.fromEntries(
    Object.keys(defaultSettings(check)).map(key => [key, from[key as keyof CheckSettings]]),
  );
  try {
    storage.setItem(keyOf(check), JSON.stringify(kept));
  } catch {
    // Storage is switched off in this browser: the settings last as long as the page.
  }
}
