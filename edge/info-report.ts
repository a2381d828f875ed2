/** What this rig's stream is made of, as the edge knows it from its configuration, its source and its key. */
import type { SourceAnnouncement } from '#core/frame/frame-decoder';
import type { Info } from '#core/messages/info';
import type { RecordClock } from './clock/record-clock.ts';
import type { EdgeConfig } from './config/edge-config.ts';
import type { OpenedStore } from './outbox/outbox-types.ts';
import type { SealKey } from './seal/seal-key.ts';
import { SOFTWARE } from './software.ts';

export interface InfoParts {
  readonly config: EdgeConfig;
  readonly store: OpenedStore;
  readonly clock: RecordClock;
  readonly key: SealKey;
  /** Null until the source has said what it sends. */
  readonly announced: SourceAnnouncement | null;
}

export function infoReport({ config, store, clock, key, announced }: InfoParts): Info {
  return {
    origin: config.origin,
    at: clock.utcOf(clock.nowUs()),
    ...config.address,
    stream: store.stream,
    software: SOFTWARE,
    source: { url: config.source.url.slice(0, 200), format: announced?.format ?? config.source.format },
    samplePeriodS: announced?.samplePeriodUs ? announced.samplePeriodUs / 1e6 : null,
    channels: [...(announced?.channels ?? [])],
    referenceRadiusMm: config.engine.referenceRadiusMm,
    voltageTapPoint: config.voltageTapPoint,
    requiredStores: [...config.requiredStores],
    sealKey: { publicKey: key.publicKey, keyId: key.keyId },
  };
}
