import { clockText } from '#core/position/clock-position';
import { type ShownQuantity, type ShownUnit, shownUnits, type UnitSystem } from '#core/units/shown-units';
import type { DecimalSign, Language } from './languages.ts';

/** Shown for a value that is unknown; never 0, never the last one. */
export const DASHES = '– –';

export interface Formats {
  /** Fixed decimals, dashes for null. */
  readonly fixed: (value: number | null, decimals: number) => string;
  /** A number that is text already, with a point: the same with the decimal sign in use. */
  readonly signed: (plain: string) => string;
  /** A stored value in the unit shown, with it: "48.8 in"; `more` decimals than usual where they matter. */
  readonly measure: (quantity: ShownQuantity, stored: number | null, more?: number) => string;
  /** The same without its unit, where that stands in a heading. */
  readonly value: (quantity: ShownQuantity, stored: number | null, more?: number) => string;
  readonly units: Readonly<Record<ShownQuantity, ShownUnit>>;
  readonly timeOfDay: (ms: number) => string;
  /** Day, month, hour and minute. */
  readonly moment: (ms: number) => string;
  readonly zone: string;
  readonly zoneShort: (ms: number) => string;
  readonly plural: (n: number, forms: { readonly one: string; readonly other: string }) => string;
}

export interface FormatOptions {
  readonly decimal?: DecimalSign;
  readonly units?: UnitSystem;
}

/** Language tags whose times read as crews write them: 24 hours, the day before the month. */
const TIME_TAGS: Readonly<Record<Language, string>> = { en: 'en-GB', es: 'es' };

/** Numbers, times and plurals of one language and zone, through Intl. */
export function formats(language: Language, zone?: string, options: FormatOptions = {}): Formats {
  const { decimal = 'point', units: system = 'metric' } = options;
  const byDecimals = new Map<number, Intl.NumberFormat>();
  const numberOf = (decimals: number): Intl.NumberFormat => {
    const known = byDecimals.get(decimals);
    if (known !== undefined) return known;
    // Without grouping the decimal sign is all that differs between the regions: these two stand for all.
    const made = new Intl.NumberFormat(decimal === 'comma' ? 'es-ES' : 'en', {
      minimumFractionDigits: decimals,
      maximumFractionDigits: decimals,
      useGrouping: false,
      // A reading just below zero rounds to 0, not to −0.
      signDisplay: 'negative',
    });
    byDecimals.set(decimals, made);
    return made;
  };
  const fixed = (value: number | null, decimals: number): string =>
    value === null ? DASHES : numberOf(decimals).format(value);
  const units = shownUnits(system);
  const value = (quantity: ShownQuantity, stored: number | null, more = 0): string =>
    stored === null ? DASHES : fixed(units[quantity].shown(stored), units[quantity].decimals + more);
  const zoneOption = zone === undefined ? {} : { timeZone: zone };
  const tag = TIME_TAGS[language];
  const hours = { hour: '2-digit', minute: '2-digit', hourCycle: 'h23', ...zoneOption } as const;
  const time = new Intl.DateTimeFormat(tag, { ...hours, second: '2-digit' });
  const moment = new Intl.DateTimeFormat(tag, { ...hours, day: 'numeric', month: 'short' });
  const short = new Intl.DateTimeFormat(tag, { hour: '2-digit', timeZoneName: 'short', ...zoneOption });
  const rules = new Intl.PluralRules(language);
  return {
    fixed,
    signed: plain => (decimal === 'comma' ? plain.replace('.', ',') : plain),
    value,
    measure: (quantity, stored, more) =>
      stored === null ? DASHES : `${value(quantity, stored, more)} ${units[quantity].unit}`,
    units,
    timeOfDay: ms => time.format(ms),
    moment: ms => moment.format(ms),
    zone: zone ?? time.resolvedOptions().timeZone,
    zoneShort: ms => short.formatToParts(ms).find(part => part.type === 'timeZoneName')?.value ?? '',
    // Spanish has a third form, "many" (CLDR), for whole millions: nothing here is counted that far.
    plural: (n, forms) => `${numberOf(0).format(n)} ${rules.select(n) === 'one' ? forms.one : forms.other}`,
  };
}

/** "1:11" for 71 s, "1:02:05" from an hour on; whole seconds, cut off, as a running clock shows them. */
export function durationText(seconds: number | null): string {
  if (seconds === null) return DASHES;
  const whole = Math.floor(seconds);
  const parts = [Math.floor((whole % 3600) / 60), whole % 60].map(part => String(part).padStart(2, '0'));
  const hours = Math.floor(whole / 3600);
  return hours > 0 ? `${hours}:${parts.join(':')}` : `${Number(parts[0])}:${parts[1]}`;
}

/** A position as the trade says it: "3:26". */
export const oClockText = (clock: number | null): string => (clock === null ? DASHES : clockText(clock));
