/** What is said of a change: one sentence for a person. */
import type { CallQuantity, DriftCall } from '../messages/drift.ts';
import { clockText } from '../position/clock-position.ts';

const TEXT_MAX = 300;

const WORDS: Readonly<Record<CallQuantity, string>> = {
  weldingCurrent: 'Welding current',
  arcVoltage: 'Arc voltage',
  wireFeedSpeed: 'Wire feed speed',
  travelSpeed: 'Travel speed',
  gasFlow: 'Gas flow',
  currentSpread: 'Restlessness of the current',
  voltageSpread: 'Restlessness of the voltage',
  oscillationWidth: 'Oscillation width',
  oscillationFrequency: 'Oscillation frequency',
};

/** m/min is what wire feed is set in. */
const METRES_PER_MINUTE = 0.06;

/** "12.3 A". */
export function amountText(quantity: CallQuantity, value: number, unit: string): string {
  if (quantity === 'wireFeedSpeed') return `${(value * METRES_PER_MINUTE).toFixed(2)} m/min`;
  return `${value.toFixed(quantity === 'weldingCurrent' ? 0 : 2)} ${unit}`;
}

export function quantityWord(quantity: CallQuantity): string {
  return WORDS[quantity];
}

export function placeText(mm: number | null, clock: number | null): string {
  const place = mm === null ? 'an unknown place' : `${mm.toFixed(0)} mm`;
  return clock === null ? place : `${place}, ${clockText(clock)} o’clock`;
}

export type CallInWords = Pick<
  DriftCall,
  | 'rule'
  | 'quantity'
  | 'unit'
  | 'direction'
  | 'shape'
  | 'fromMm'
  | 'fromClock'
  | 'baseline'
  | 'change'
  | 'changeSigma'
  | 'crossing'
  | 'contributions'
  | 'depositChangePercent'
> & { readonly against: 'itself' | 'rig' | 'procedure' };

export function callText(call: CallInWords): string {
  return sentence(call).slice(0, TEXT_MAX);
}

function sentence(call: CallInWords): string {
  const { rule, quantity, unit, fromMm, fromClock, baseline, change } = call;
  const place = placeText(fromMm, fromClock);
  if (rule === 'pattern') {
    const most = call.contributions.slice(0, 3).map(({ quantity: q }) => WORDS[q].toLowerCase());
    return `The channels together are unlike this rig’s good welds from ${place}, most of all ${most.join(', ')}.`;
  }
  if (quantity === null || unit === null) return `A change from ${place}.`;
  const word = WORDS[quantity];
  if (rule === 'trim') {
    const deposit = call.depositChangePercent;
    const effect =
      deposit === null ? '' : `; deposit area ${deposit >= 0 ? '+' : '−'}${Math.abs(deposit).toFixed(1)} %`;
    const levels =
      baseline === null || change === null
        ? ''
        : ` from ${amountText(quantity, baseline, unit)} to ${amountText(quantity, baseline + change, unit)}`;
    return `${word} trimmed${levels} at ${place}${effect}.`;
  }
  if (rule === 'projected' && call.crossing) {
    const { limit, value, atMm } = call.crossing;
    const end = limit === 'max' ? 'upper' : 'lower';
    const at = atMm === null ? '' : ` at ${atMm.toFixed(0)} mm`;
    return `${word} is on its way to the ${end} limit of ${amountText(quantity, value, unit)} and meets it${at}, before the pass ends, if it goes on like this.`;
  }
  const low = call.direction === 'low';
  const size = change === null ? '' : ` ${amountText(quantity, Math.abs(change), unit)}`;
  const sigma = call.changeSigma === null ? '' : ` (${Math.abs(call.changeSigma).toFixed(1)} σ)`;
  if (call.against === 'rig') {
    return `${word}${size} ${low ? 'below' : 'above'} this rig’s good welds${sigma}, from ${place} on.`;
  }
  const how = call.shape === 'ramp' ? (low ? 'falling' : 'rising') : low ? 'down' : 'up';
  return `${word} ${how}${size && ` by${size}`}${sigma} since ${place}.`;
}

export function endText(call: Pick<DriftCall, 'rule' | 'quantity' | 'toMm' | 'toClock' | 'number'>): string {
  const what =
    call.rule === 'pattern'
      ? 'The channels together are as on good welds again'
      : call.rule === 'projected'
        ? `${call.quantity ? WORDS[call.quantity] : 'It'} is no longer on its way to a limit`
        : `${call.quantity ? WORDS[call.quantity] : 'It'} is back`;
  return `${what} since ${placeText(call.toMm, call.toClock)} (change ${call.number}).`;
}
