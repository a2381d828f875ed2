import { clockText } from '#core/position/clock-position';

/** Shown for a value that is unknown; never 0, never the last one. */
export const DASHES = '– –';
/** Wire feed is kept in mm/s and shown in m/min. */
const M_MIN_PER_MM_S = 0.06;

export interface Formats {
  /** Fixed decimals, dashes for null. */
  readonly fixed: (value: number | null, decimals: number) => string;
  readonly timeOfDay: (ms: number) => string;
  readonly zone: string;
  readonly zoneShort: (ms: number) => string;
  readonly plural: (n: number, forms: { readonly one: string; readonly other: string }) => string;
}

/** Numbers, times and plurals of one language and zone, through Intl. */
export function formats(language: string, zone?: string): Formats {
  const byDecimals = new Map<number, Intl.NumberFormat>();
  const numberOf = (decimals: number): Intl.NumberFormat => {
    const known = byDecimals.get(decimals);
    if (known !== undefined) return known;
    const made = new Intl.NumberFormat(language, {
      minimumFractionDigits: decimals,
      maximumFractionDigits: decimals,
      useGrouping: false,
      // A reading just below zero rounds to 0, not to −0.
      signDisplay: 'negative',
    });
    byDecimals.set(decimals, made);
    return made;
  };
  const zoneOption = zone === undefined ? {} : { timeZone: zone };
  const time = new Intl.DateTimeFormat('en-GB', { timeStyle: 'medium', ...zoneOption });
  const short = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', timeZoneName: 'short', ...zoneOption });
  const rules = new Intl.PluralRules(language);
  return {
    fixed: (value, decimals) => (value === null ? DASHES : numberOf(decimals).format(value)),
    timeOfDay: ms => time.format(ms),
    zone: time.resolvedOptions().timeZone,
    zoneShort: ms => short.formatToParts(ms).find(part => part.type === 'timeZoneName')?.value ?? '',
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

export interface QuantityDisplay {
  readonly unit: string;
  readonly decimals: number;
  /** From the stored unit to the shown one. */
  readonly shown: (stored: number) => number;
}

const same = (value: number): number => value;

/** How each quantity is shown; stored units are those of shared-core. */
export const QUANTITY_DISPLAY: Readonly<Record<string, QuantityDisplay>> = {
  weldingCurrent: { unit: 'A', decimals: 0, shown: same },
  arcVoltage: { unit: 'V', decimals: 1, shown: same },
  wireFeedSpeed: { unit: 'm/min', decimals: 1, shown: value => value * M_MIN_PER_MM_S },
  travelSpeed: { unit: 'mm/s', decimals: 1, shown: same },
  power: { unit: 'kW', decimals: 2, shown: value => value / 1000 },
  arcEnergy: { unit: 'kJ/mm', decimals: 2, shown: same },
  heatInput: { unit: 'kJ/mm', decimals: 2, shown: same },
  gasFlow: { unit: 'L/min', decimals: 1, shown: same },
  preheatTemperature: { unit: '°C', decimals: 0, shown: same },
  interpassTemperature: { unit: '°C', decimals: 0, shown: same },
};

/** A position as the trade says it: "3:26". */
export const oClockText = (clock: number | null): string => (clock === null ? DASHES : clockText(clock));
