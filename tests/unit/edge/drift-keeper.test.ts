/** What an edge keeps of settings and good passes: a restart judges as before. */
import { describe, expect, test } from 'vitest';
import { DEFAULT_DRIFT_SETTINGS } from '#core/drift/drift-settings';
import type { Watch } from '#core/messages/watch';
import { DEFAULT_ENGINE_SETTINGS } from '#core/pass/pass-engine';
import { DriftKeeper } from '../../../edge/capture/drift-keeper.ts';
import type { InternalEvents } from '../../../edge/internal-events.ts';
import { DriftRig, driftOf, driftProcedure, driftWeld } from '../../support/drift-weld.ts';
import { assignmentOf } from '../../support/engine-run.ts';

const ENGINE = { ...DEFAULT_ENGINE_SETTINGS, samplePeriodS: 0.02 };
const watch = (k: number): Watch => ({
  origin: 'simulated',
  id: `w${k}`,
  at: '2026-05-12T08:00:00.000Z',
  author: 'p1',
  settings: { ...DEFAULT_DRIFT_SETTINGS, k },
});

/** An edge's store as a map, and edges that are started on it. */
class Store {
  readonly state: Record<string, string> = {};
  readonly emitted: string[] = [];

  readonly save = (patch: Readonly<Record<string, string | null>>): void => {
    for (const [key, value] of Object.entries(patch)) {
      if (value === null) delete this.state[key];
      else this.state[key] = value;
    }
  };

  start() {
    const events: InternalEvents = {
      emit: name => {
        this.emitted.push(name);
      },
      counters: () => ({}),
    };
    const rig = { feedReadAt: 'motor', voltageTapPoint: 'feeder' } as const;
    const keeper = new DriftKeeper({ state: { ...this.state }, save: this.save, events, rig });
    const engine = keeper.createEngine(ENGINE, { lastPassIndex: 0, openPass: null });
    return { keeper, engine };
  }
}

describe('settings', () => {
  test('are kept, and not taken twice', () => {
    const store = new Store();
    const first = store.start();
    first.keeper.resumed();
    expect(first.keeper.take(watch(2))).toBe(true);
    expect(first.keeper.take(watch(2))).toBe(false);
    expect(store.emitted).toEqual(['watchTaken']);
    expect(first.engine.driftSettings.k).toBe(2);
    expect(store.start().engine.driftSettings.k).toBe(2);
  });

  test('that arrived in a pass are not those it is fed again with, but those of the next', () => {
    const store = new Store();
    const { keeper, engine } = store.start();
    keeper.resumed();
    keeper.take(watch(1.25));
    engine.assign(assignmentOf({ procedure: driftProcedure() }));
    const chunk = driftWeld({ seed: 1 });
    const half = { ...chunk, n: 800 };
    engine.push(half);
    keeper.take(watch(2.5));
    store.save(keeper.resumeState());
    // The edge dies here; the next one is fed the pass again.
    const again = store.start();
    again.engine.assign(assignmentOf({ procedure: driftProcedure() }));
    again.engine.push(half);
    again.keeper.resumed();
    expect(again.engine.driftSettings.k).toBe(1.25);
    again.engine.closePass();
    expect(driftOf(again.engine.drain()).settings.k).toBe(1.25);
    expect(again.engine.driftSettings.k).toBe(2.5);
    store.save(again.keeper.resumeState());
    expect(store.state['watchInForce']).toBeUndefined();
  });

  test('of an older layout are told again', () => {
    const store = new Store();
    store.save({ watch: '{"k":1}', 'baseline/x': 'not JSON', watchInForce: '{}' });
    expect(store.start().engine.driftSettings).toEqual(DEFAULT_DRIFT_SETTINGS);
    expect(store.start().engine.driftBook).toEqual([]);
  });
});

describe('good passes', () => {
  test('are saved as they teach, one key a kind, and judge after a restart', () => {
    const store = new Store();
    const { keeper, engine } = store.start();
    const rig = new DriftRig(engine);
    for (let seed = 1; seed <= 4; seed++) {
      rig.weld({ seed });
      store.save(keeper.resumeState());
      expect(keeper.resumeState()).toEqual({});
    }
    new DriftRig(engine, { side: 'A' }, 1000e6).weld({ seed: 9 });
    store.save(keeper.resumeState());
    const keys = Object.keys(store.state).filter(key => key.startsWith('baseline/'));
    expect(keys).toHaveLength(2);
    const again = store.start();
    expect(again.engine.driftBook).toEqual(engine.driftBook);
    expect(driftOf(new DriftRig(again.engine).weld({ seed: 5 })).baselines[0]!.source).toBe('rig');
  });
});
