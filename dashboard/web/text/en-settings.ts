/** English: how this device shows things. */
export const enSettings = {
  title: 'Settings of this device',
  /** On every screen, in both languages, so that it is found from the wrong one. */
  open: 'Language · Idioma',
  intro:
    'Kept in this browser, for this device. Nothing here changes what is recorded: stored values stay in SI units.',
  language: 'Language',
  byBrowser: (name: string) => `As the browser prefers: ${name}.`,
  units: 'Units',
  systems: {
    metric: 'mm/s, m/min, kJ/mm, °C, L/min, mm, kg',
    inch: 'in/min, kJ/in, °F, ft³/h, in, lb',
  },
  decimal: 'Decimal sign',
  signs: { point: '7.5 (point)', comma: '7,5 (comma)' },
  decimalHint:
    'Numbers are shown and typed with it. What may be one of two numbers, such as 1.234 typed with a comma set, is not taken. Files keep the point.',
  zoneTitle: 'Time',
  zone: (zone: string) => `Times are in the time zone of the job, ${zone}.`,
  zoneUnknown: 'The time zone of the job is not known yet: no connection to the dashboard server.',
  zoneDiffers: (job: string, device: string) =>
    `This device’s clock is set to ${device}. All times here are those of the job, ${job}.`,
  understood: 'Understood',
  example: 'How it looks',
  notLoaded: 'The other language could not be loaded: no connection. Try again when it is back.',
};
