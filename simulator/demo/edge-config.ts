import { stringify } from 'smol-toml';
import type { Listening } from './simulator-events.ts';

/** The configuration of the edge that listens to one simulated rig. */
export function edgeConfigText(rig: Listening, site: string, brokerUrl: string, storePath: string): string {
  return stringify({
    rig: {
      site,
      rig: rig.rig,
      origin: 'simulated',
      reference_radius_mm: rig.referenceRadiusMm,
      voltage_tap_point:
        rig.voltageTap === 'tip' ? 'contact tip to work (simulated)' : 'source terminals (simulated)',
    },
    source: { url: rig.url, format: rig.format },
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
