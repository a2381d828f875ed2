import type { DriftSettings } from '#core/messages/drift';
import { numberText, typedNumber } from '../../text/typed-number.ts';

/** Fields as typed, with what each may be. `pattern` is one good window in this many. */
export const SETTING_FIELDS = {
  k: { min: 0.1, max: 10 },
  h: { min: 0.5, max: 30 },
  lambda: { min: 0.01, max: 1 },
  width: { min: 0.5, max: 6 },
  pattern: { min: 10, max: 10_000_000 },
  onDelayS: { min: 0, max: 60 },
  offDelayS: { min: 0, max: 60 },
} as const;
export type SettingField = keyof typeof SETTING_FIELDS;
export type TypedSettings = Readonly<Record<SettingField, string>>;

export function typedSettings(settings: DriftSettings): TypedSettings {
  const { k, h, lambda, width, patternConfidence, onDelayS, offDelayS } = settings;
  const plain = (value: number): string => numberText(Number(value.toPrecision(6)));
  return {
    k: plain(k),
    h: plain(h),
    lambda: plain(lambda),
    width: plain(width),
    pattern: String(Math.round(1 / (1 - patternConfidence))),
    onDelayS: plain(onDelayS),
    offDelayS: plain(offDelayS),
  };
}

export function wrongSetting(field: SettingField, typed: string): boolean {
  const value = typedNumber(typed);
  const { min, max } = SETTING_FIELDS[field];
  return value === null || value < min || value > max;
}

/** The settings that were typed; null while one of them is none. */
export function settingsOf(typed: TypedSettings): DriftSettings | null {
  const fields = Object.keys(SETTING_FIELDS) as SettingField[];
  if (fields.some(field => wrongSetting(field, typed[field]))) return null;
  const of = (field: SettingField): number => typedNumber(typed[field])!;
  return {
    k: of('k'),
    h: of('h'),
    lambda: of('lambda'),
    width: of('width'),
    patternConfidence: 1 - 1 / of('pattern'),
    onDelayS: of('onDelayS'),
    offDelayS: of('offDelayS'),
  };
}
