/** Keeps state in the store; where the disk is full, tries again every second with what is newest. */
import type { Outbox } from './outbox-client.ts';
import { type StatePatch, StoreError } from './outbox-types.ts';

const RETRY_MS = 1000;

export class StateSaver {
  private readonly outbox: Pick<Outbox, 'saveState'>;
  private readonly onFailed: (error: unknown) => void;
  private unsaved: Record<string, string | null> = {};
  private timer: NodeJS.Timeout | null = null;
  private saving = false;

  constructor(outbox: Pick<Outbox, 'saveState'>, onFailed: (error: unknown) => void) {
    this.outbox = outbox;
    this.onFailed = onFailed;
  }

  save(patch: StatePatch): void {
    this.unsaved = { ...this.unsaved, ...patch };
    if (!this.saving && !this.timer) void this.flush();
  }

  private async flush(): Promise<void> {
    this.saving = true;
    try {
      while (Object.keys(this.unsaved).length > 0) {
        const patch = this.unsaved;
        this.unsaved = {};
        try {
          await this.outbox.saveState(patch);
        } catch (error) {
          this.unsaved = { ...patch, ...this.unsaved };
          throw error;
        }
      }
    } catch (error) {
      if (error instanceof StoreError && error.kind === 'full') {
        this.timer = setTimeout(() => {
          this.timer = null;
          void this.flush();
        }, RETRY_MS).unref();
      } else {
        this.onFailed(error);
      }
    } finally {
      this.saving = false;
    }
  }
}
