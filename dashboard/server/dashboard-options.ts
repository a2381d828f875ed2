/** What a dashboard is started with, and where it then is. */
import type { ProgramAccount } from './auth/program-accounts.ts';
import type { InternalEvents } from './internal-events.ts';
import type { Settings } from './settings.ts';
import type { TrainingSetup } from './training/open-training.ts';

export interface DashboardAddresses {
  readonly http: string;
  readonly mqtt: string;
}

export interface DashboardOptions {
  readonly settings: Settings;
  /** Null: no dashboard of training. */
  readonly training: TrainingSetup | null;
  /** Programs that may enter things. */
  readonly programs: readonly ProgramAccount[];
  readonly events: InternalEvents;
  readonly onFatal: (error: Error) => void;
  /** The broker child and the built page; beside the bundle unless said otherwise. */
  readonly brokerProgram?: URL;
  readonly page?: URL;
  /** The program itself, which makes backups. */
  readonly program?: URL;
}
