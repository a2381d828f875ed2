import type { Side } from '#core/messages/common';

/** English: the trends of one side. */
export const enTrends = {
  title: (side: string, rig: string) => `Trends: ${side}, ${rig}`,
  span: 'Show the last',
  seconds: (n: number) => `${n} s`,
  others: 'The other sides',
  unknownRig: (rig: string) => `No rig called ${rig} has reported to this dashboard.`,
  openHint: ': open the trends',
  loading: 'Loading what is stored …',
  storeFailed: (detail: string) =>
    `Stored history could not be loaded: ${detail} Values seen on this page are shown.`,
  source: 'Stored samples, least and greatest per point; the newest seconds are 1 s means. Hatched: no data.',
  noChannel: (quantity: string) => `This rig reports no ${quantity}.`,
  energySoFar: 'arc energy of the pass so far',
  chart: (quantity: string, span: string) => `${quantity}, last ${span} s.`,
  chartSummary: (now: string, min: string, max: string, unit: string) =>
    `Now ${now} ${unit}; between ${min} and ${max} ${unit} in this time.`,
  offScale: (least: string, greatest: string) => `off the scale: ${least} to ${greatest}`,
  chartNothing: 'Nothing recorded in this time.',
  chartLimits: (limits: string) => `${limits}.`,
  table: 'Values in this time',
  columnQuantity: 'quantity',
  columnNow: 'now',
  columnMin: 'least',
  columnMax: 'greatest',
  columnLimits: 'limits',
  every10: 'Readings every 10 s',
  columnTime: 'time',
  columnClock: 'o’clock',
  clockAxis: (clock: string) => `${clock} o’clock`,
  flagsTitle: 'Out of range on this joint',
  flagsNone: 'None recorded on this joint.',
  flag: (pass: string, side: Side, from: string, to: string, quantity: string, length: string) =>
    `${pass}, side ${side}, ${from} to ${to} o’clock: ${quantity}, ${length}`,
  facts: 'This rig',
  tapPoint: (where: string) => `Voltage tapped at: ${where}`,
  reference: (length: string) => `Travel is reported at a radius of ${length}.`,
  referenceNone: 'No reference radius is set: reported travel is taken as travel at the weld.',
};
