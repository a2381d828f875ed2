/** The broker's own process: it is told where to listen, says where it does, and ends with its parent. */
import { EmbeddedBroker } from './embedded-broker.ts';
import type { BrokerReport, BrokerStart } from './protocol.ts';

function tell(report: BrokerReport): void {
  if (process.connected) process.send?.(report);
}

let broker: EmbeddedBroker | null = null;

async function stop(): Promise<void> {
  await broker?.stop();
  process.exit(0);
}

process.on('message', (message: BrokerStart) => {
  if (message.kind !== 'start' || broker) return;
  const embedded = new EmbeddedBroker(message, (cause, detail) => tell({ kind: 'refused', cause, detail }));
  broker = embedded;
  embedded.start().then(
    port => tell({ kind: 'listening', port }),
    (error: NodeJS.ErrnoException) => {
      tell({ kind: 'failed', code: error.code ?? 'unknown', message: error.message });
    },
  );
});
process.on('disconnect', () => void stop());
process.on('SIGTERM', () => void stop());
// Ctrl-C reaches the whole group; the parent says when to end, after the last messages are out.
process.on('SIGINT', () => {});
