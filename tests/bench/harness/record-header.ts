/** Of the records that benchmarks write. */
export const RECORD_HEADER = {
  origin: 'simulated',
  site: 'bench',
  rig: 'rig-a',
  at: '2026-05-12T08:00:00.000Z',
  clock: { state: 'synced', offsetMs: null },
  utcMinusRecordMs: 0,
} as const;
