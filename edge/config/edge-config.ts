/** The configuration as the edge's parts use it: units in SI where they compute, paths absolute. */
import { resolve } from 'node:path';
import type { Origin } from '#core/messages/common';
import type { EngineSettings } from '#core/pass/engine-api';
import type { RigAddress } from '#core/topics/topics';
import type { StoreBudget } from '../outbox/disk-room.ts';
import type { BrokerSettings } from '../publisher/mqtt-link.ts';
import type { SourceSettings } from '../source/source-settings.ts';
import type { UncertaintyEntry } from './config-schema.ts';
import type { LoadedConfig } from './load-config.ts';

export interface EdgeConfig {
  readonly address: RigAddress;
  readonly origin: Origin;
  readonly voltageTapPoint: string;
  /** Null: not stated. */
  readonly feedReadAt: 'motor' | 'wire' | null;
  readonly source: SourceSettings;
  readonly broker: BrokerSettings;
  readonly storePath: string;
  readonly storeBudget: StoreBudget;
  readonly blackBox: {
    readonly enabled: boolean;
    readonly folder: string;
    readonly budgetBytes: number | null;
    readonly maxAgeH: number;
  };
  readonly batchMs: number;
  readonly requiredStores: readonly string[];
  readonly engine: EngineSettings;
  readonly logLevel: string;
}

export function edgeConfig({ config, baseDir }: LoadedConfig): EdgeConfig {
  const { rig, broker, store, black_box: blackBox, engine, uncertainty } = config;
  const absolute = (path: string | undefined): string | null =>
    path === undefined ? null : resolve(baseDir, path);
  return {
    address: { site: rig.site, rig: rig.rig },
    origin: rig.origin,
    voltageTapPoint: rig.voltage_tap_point,
    feedReadAt: rig.feed_read_at ?? null,
    source: config.source,
    broker: {
      url: broker.url,
      username: broker.username ?? null,
      passwordFile: absolute(broker.password_file),
      caFile: absolute(broker.ca_file),
      certFile: absolute(broker.cert_file),
      keyFile: absolute(broker.key_file),
    },
    storePath: resolve(baseDir, store.path),
    storeBudget: { budgetBytes: bytesOf(store.budget_mb), reserveBytes: bytesOf(store.reserve_mb) },
    blackBox: {
      enabled: blackBox.enabled,
      folder: absolute(blackBox.folder) ?? `${resolve(baseDir, store.path)}.black-box`,
      budgetBytes: bytesOf(blackBox.budget_mb),
      maxAgeH: blackBox.max_age_h,
    },
    batchMs: store.batch_s * 1000,
    requiredStores: [...new Set(store.required_stores)],
    engine: {
      samplePeriodS: null,
      gapPeriods: engine.gap_periods,
      gapMinS: engine.gap_min_s,
      heldAfterS: engine.held_after_s === false ? null : engine.held_after_s,
      heldMinRateHz: engine.held_min_rate_hz,
      arcStartA: engine.arc_start_a,
      arcStartS: engine.arc_start_s,
      arcStopA: engine.arc_stop_a,
      arcStopS: engine.arc_stop_s,
      passJoinS: engine.pass_join_s,
      standingTravelMmS: engine.standing_travel_mm_s,
      windowLengthMm: engine.window_length_mm,
      liveMeanS: engine.live_mean_s,
      onDelayS: engine.on_delay_s,
      offDelayS: engine.off_delay_s,
      referenceRadiusMm: rig.reference_radius_mm === 'pipe' ? null : rig.reference_radius_mm,
      positionUncertaintyMm: rig.position_uncertainty_mm,
      uncertainty: {
        current: standardUncertainty(uncertainty.current),
        voltage: standardUncertainty(uncertainty.voltage),
        wireFeed: standardUncertainty(uncertainty.wire_feed),
        travel: standardUncertainty(uncertainty.travel),
      },
    },
    logLevel: config.log.level,
  };
}

const bytesOf = (megabytes: number | undefined): number | null =>
  megabytes === undefined ? null : megabytes * 1e6;

/** Relative standard uncertainty, k = 1. Limits ±a are a rectangular distribution: a ÷ √3 (GUM 4.3.7). */
export function standardUncertainty(entry: UncertaintyEntry | undefined): number | null {
  if (!entry) return null;
  const relative = entry.percent / 100;
  return entry.kind === 'limits' ? relative / Math.sqrt(3) : relative;
}
