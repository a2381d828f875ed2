/**
 * Months between validations of welding and measuring equipment. Source: public course notes on calibration after BS 7570, section 3.
 * Precision grade is for mechanised and automatic welding, standard grade for manual and semi-automatic.
 */
export const VALIDATION_INTERVAL_MONTHS = { standard: 12, precision: 6, firstConsistencyTest: 3 } as const;

/**
 * Starting values for validation limits, as shares: within `from`–1 of the maximum the error may be `ofTrue` of the true value, below it
 * `ofMax` of the maximum. FROM MEMORY, of low confidence (BS 7570:2000, EN 50504:2008, IEC 60974-14:2018): the user's to set, never
 * shown as what a standard says.
 */
export const VALIDATION_LIMITS_FROM_MEMORY = {
  standard: {
    current: { from: 0.25, ofTrue: 0.1, ofMax: 0.025 },
    voltage: { from: 0.25, ofTrue: 0.1, ofMax: 0.025 },
    wireFeed: { from: 0, ofTrue: 0.1, ofMax: null },
  },
  precision: {
    current: { from: 0.4, ofTrue: 0.025, ofMax: 0.01 },
    voltage: { from: 0.4, ofTrue: 0.05, ofMax: 0.02 },
    wireFeed: { from: 0, ofTrue: 0.025, ofMax: null },
  },
} as const;
