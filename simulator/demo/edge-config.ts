import { stringify } from 'smol-toml';
import type { Origin } from '#core/messages/common';
import type { Listening } from './simulator-events.ts';

export interface EdgeExtras {
  readonly origin: Exclude<Origin, 'real'>;
  readonly feedReadAt: 'motor' | 'wire';
  /** A longer silence ends a pass, s. */
  readonly passJoinS: number;
}

/** The configuration of the edge that listens to one simulated rig. */
export function edgeConfigText(
  rig: Pick<Listening, 'rig' | 'url' | 'format' | 'referenceRadiusMm' | 'voltageTap'>,
  site: string,
  brokerUrl: string,
  storePath: string,
  extras: EdgeExtras | null = null,
): string {
  return stringify({
    rig: {
      site,
      rig: rig.rig,
      origin: extras?.origin ?? 'simulated',
      reference_radius_mm: rig.referenceRadiusMm,
      voltage_tap_point:
        rig.voltageTap === 'tip' ? 'contact tip to work (simulated)' : 'source terminals (simulated)',
      ...(extras === null ? {} : { feed_read_at: extras.feedReadAt }),
    },
    source: { url: rig.url, format: rig.format },
    ...(extras === null ? {} : { engine: { pass_join_s: extras.passJoinS } }),
    broker: { url: brokerUrl },
    // Standard uncertainties (k = 1) of the size that good transducers and a carriage have.
    uncertainty: {
      current: { percent: 1.5, kind: 'standard' },
      voltage: { percent: 1, kind: 'standard' },
      wire_feed: { percent: 1, kind: 'standard' },
      travel: { percent: 2, kind: 'standard' },
    },
    store: { path: storePath, batch_s: 1, required_stores: ['truck'] },
  });
}
