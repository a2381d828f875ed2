/** Everything that looks after the truck itself, put together: its store, its disk, its backups. */
import { fileURLToPath } from 'node:url';
import type { TruckRoom, TruckState } from '#core/messages/truck';
import { BackupProcess } from '../backup/backup-process.ts';
import { ScheduledBackups } from '../backup/scheduled-backups.ts';
import type { ReportEvent } from '../internal-events.ts';
import type { Settings } from '../settings.ts';
import type { StoreHealth } from '../store/store-health.ts';
import { Progress } from './progress.ts';
import { StoreWatch } from './store-watch.ts';
import { type SetCondition, TruckConditions } from './truck-conditions.ts';
import type { TruckSources } from './truck-figures.ts';
import { truckStoreErrors } from './truck-store-errors.ts';

export interface TruckHealthOptions {
  readonly settings: Settings;
  readonly store: StoreHealth;
  readonly report: ReportEvent;
  readonly now: () => Date;
  /** How often each named internal event has happened. */
  readonly counters: () => Record<string, number>;
  readonly onChange: (state: TruckState) => void;
  readonly onFatal: (error: Error) => void;
  /** The built girthlog-dashboard, which makes backups; beside the bundle by itself. */
  readonly program: URL | undefined;
}

export class TruckHealth {
  readonly set: SetCondition;
  readonly onPaused: (error: Error | null) => void;
  readonly onStoreError: (error: Error) => void;
  private readonly options: TruckHealthOptions;
  private readonly progress: Progress;
  private waitingRecords: () => number = () => 0;
  private readonly conditions: TruckConditions;
  private readonly watch: StoreWatch;
  private readonly backup: BackupProcess;
  private readonly backups: ScheduledBackups | null;

  constructor(options: TruckHealthOptions) {
    const { settings, store, report, now, onChange, onFatal, program } = options;
    this.options = options;
    this.conditions = new TruckConditions(now);
    this.conditions.onChange = onChange;
    onChange(this.conditions.state());
    const { set } = this.conditions;
    this.set = set;
    const { onPaused, onStoreError } = truckStoreErrors({ set, onFatal });
    this.onPaused = onPaused;
    this.onStoreError = onStoreError;
    this.watch = new StoreWatch({ directory: settings.data, store, set, report, now, onStoreError });
    this.progress = new Progress({
      checkStore: () => void store.recorded(),
      waitingRecords: () => this.waitingRecords(),
      settledRecords: () => this.settledRecords(),
      paused: () =>
        this.state.conditions.some(({ cause }) => cause === 'storeFull' || cause === 'storeBlocked'),
    });
    const file = fileURLToPath(program ?? new URL('./girthlog-dashboard.js', import.meta.url));
    this.backup = new BackupProcess(file, settings.data);
    const { backupFolder: folder, backupAt: at, backupEveryH: everyH, backupKeep: keep } = settings;
    this.backups =
      folder === null
        ? null
        : new ScheduledBackups({
            folder,
            store: settings.store,
            schedule: { at, everyH },
            keep,
            make: this.backup.make,
            set,
            report,
            now,
            monotonicMs: () => performance.now(),
          });
  }

  start(): void {
    this.watch.start();
    this.backups?.start();
  }

  async stop(): Promise<void> {
    this.watch.stop();
    this.backup.stop();
    await this.backups?.stop();
  }

  /** Whether records that wait get into the store is part of what is looked after. */
  follow(waitingRecords: () => number): void {
    this.waitingRecords = waitingRecords;
  }

  /** Whether the dashboard does what it is for; throws where its store cannot be read. */
  getsOn(): boolean {
    return this.progress.getsOn();
  }

  /** What /metrics says of the truck itself. */
  figures(): Pick<
    TruckSources,
    'counters' | 'records' | 'room' | 'state' | 'lastBackupMs' | 'waitingRecords'
  > {
    return {
      counters: this.options.counters,
      records: () => this.options.store.recorded().records,
      room: () => this.room,
      state: () => this.state,
      lastBackupMs: () => this.lastBackupMs,
      waitingRecords: () => this.waitingRecords(),
    };
  }

  get room(): TruckRoom {
    return this.watch.room;
  }

  get state(): TruckState {
    return this.conditions.state();
  }

  /** One sentence each. */
  warnings(): string[] {
    return this.state.conditions.map(({ text }) => text);
  }

  /** Out of the waiting line for good, whatever became of them. */
  private settledRecords(): number {
    const { recordStored = 0, recordDuplicate = 0, identityConflict = 0 } = this.options.counters();
    return recordStored + recordDuplicate + identityConflict;
  }

  /** When the newest scheduled backup was made; null without one. */
  get lastBackupMs(): number | null {
    return this.backups?.lastMs ?? null;
  }
}
