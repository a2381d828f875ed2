import { MqttLink } from '../../dashboard/server/ingest/mqtt-link.ts';
import type { ReportEvent } from '../../dashboard/server/internal-events.ts';

/** A connection to a broker that is never made. */
export function idleLink(report: ReportEvent): MqttLink {
  return new MqttLink({
    url: () => 'mqtt://127.0.0.1:1',
    store: 'truck',
    instance: 'test',
    report,
    random: () => 0.5,
    onMessage: () => {},
    onConnected: () => {},
  });
}
