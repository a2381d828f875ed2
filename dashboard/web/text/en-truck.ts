/** English: the truck itself. Its conditions bring their own sentences. */
export const enTruck = {
  label: 'At the truck',
  priority: { high: 'ACT NOW', medium: 'CHECK', low: 'NOTE' },
  mark: { high: '\u25b2', medium: '\u25c6', low: '\u25cb' },
  storeTitle: 'Room at the truck',
  storeUnknown: 'Not known now.',
  free: (freeGb: string, share: string) => `${freeGb} GB free (${share} %).`,
  size: (gb: string, records: string) => `The store holds ${records} records in ${gb} GB.`,
  daysLeft: (days: string) => `Enough for ${days} at the pace of the busiest of the last seven days.`,
  days: { one: 'day', other: 'days' },
  daysUnknown: 'How long it lasts is known after ten minutes of recording.',
  nothingRecorded: 'Nothing was recorded in the last seven days.',
};
