/**
 * How changes along the weld are called on this rig, and what its good passes taught: kept in the store, so that a
 * restart judges as before. What is learned is saved with the batch that carries the pass it was learned from.
 */
import { z } from 'zod';
import { bookEntrySchema, type DriftBook } from '#core/drift/baseline-book';
import { type DriftSettings, driftSettingsSchema } from '#core/messages/drift';
import { type Watch, watchSchema } from '#core/messages/watch';
import type { EngineResume, EngineSettings, PassEngine, RigFacts } from '#core/pass/engine-api';
import { createPassEngine } from '#core/pass/pass-engine';
import type { InternalEvents } from '../internal-events.ts';
import type { StatePatch } from '../outbox/outbox-types.ts';

const WATCH = 'watch';
/** Settings of the pass that is open: it keeps them, whatever arrives meanwhile. */
const IN_FORCE = 'watchInForce';
const BASELINE = 'baseline/';

const storedEntrySchema = z.strictObject({ order: z.int().nonnegative(), entry: bookEntrySchema });

export interface DriftKeeperOptions {
  /** State of the store as opened. */
  readonly state: Readonly<Record<string, string>>;
  readonly save: (patch: StatePatch) => void;
  readonly events: InternalEvents;
  readonly rig: RigFacts;
}

export class DriftKeeper {
  private readonly options: DriftKeeperOptions;
  private watch: Watch | null;
  private engine: PassEngine | null = null;
  private savedBook: DriftBook;
  private order: number;
  private savedInForce: string | null;

  constructor(options: DriftKeeperOptions) {
    this.options = options;
    const { state } = options;
    this.watch = read(state[WATCH], watchSchema);
    this.savedInForce = state[IN_FORCE] ?? null;
    const kept = Object.entries(state)
      .flatMap(([key, text]) => (key.startsWith(BASELINE) ? (read(text, storedEntrySchema) ?? []) : []))
      .sort((a, b) => a.order - b.order);
    this.savedBook = kept.map(({ entry }) => entry);
    this.order = (kept.at(-1)?.order ?? 0) + 1;
  }

  /** The engine as it stood: a pass that is fed again gets the settings it began with. */
  createEngine(settings: EngineSettings, resume: EngineResume): PassEngine {
    const inForce = read(this.savedInForce ?? undefined, driftSettingsSchema);
    this.engine = createPassEngine(settings, {
      resume,
      driftSettings: inForce ?? this.watch?.settings ?? null,
      driftBook: this.savedBook,
      rig: this.options.rig,
    });
    return this.engine;
  }

  /** What was open is open again, or not: what comes next is judged as last told. */
  resumed(): void {
    if (this.watch) this.engine?.setDriftSettings(this.watch.settings);
  }

  /** From the next pass on. A broker repeats its retained message at every connection. */
  take(watch: Watch): boolean {
    if (this.watch && JSON.stringify(this.watch) === JSON.stringify(watch)) return false;
    this.watch = watch;
    this.options.save({ [WATCH]: JSON.stringify(watch) });
    this.engine?.setDriftSettings(watch.settings);
    this.options.events.emit('watchTaken', { id: watch.id });
    return true;
  }

  /** What must be saved with the batch that is being closed. */
  resumeState(): StatePatch {
    const patch: Record<string, string | null> = {};
    const { engine } = this;
    if (!engine) return patch;
    const open = engine.live().pass !== null;
    const inForce = open ? JSON.stringify(engine.driftSettings satisfies DriftSettings) : null;
    if (inForce !== this.savedInForce) {
      patch[IN_FORCE] = inForce;
      this.savedInForce = inForce;
    }
    const book = engine.driftBook;
    if (book === this.savedBook) return patch;
    for (const { key } of this.savedBook) {
      if (!book.some(entry => entry.key === key)) patch[BASELINE + key] = null;
    }
    for (const entry of book) {
      if (this.savedBook.includes(entry)) continue;
      patch[BASELINE + entry.key] = JSON.stringify({ order: this.order++, entry });
    }
    this.savedBook = book;
    return patch;
  }
}

function read<T>(text: string | undefined, schema: z.ZodType<T>): T | null {
  if (text === undefined) return null;
  try {
    return schema.parse(JSON.parse(text));
  } catch {
    // Kept by an older layout: it is told or learned again.
    return null;
  }
}
