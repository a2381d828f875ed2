import type { EnrolmentDesk, EnrolmentTerms } from './enrolment-desk.ts';

/** What the routes of machines stand on. */
export interface TruckMachines {
  readonly desk: EnrolmentDesk;
  /** What a board that enrols now is given. */
  readonly terms: () => Promise<EnrolmentTerms>;
  /** For the delay after wrong codes. */
  readonly monotonicMs: () => number;
  /** Of the authority that a board is to trust; null without TLS. */
  readonly fingerprint: () => Promise<string | null>;
}
