/** The broker's own process: it is told where to listen, says where it does, and ends with its parent. */
import { EmbeddedBroker } from './embedded-broker.ts';
import type { BrokerOrder, BrokerReport } from './protocol.ts';

function tell(report: BrokerReport): void {
  if (process.connected) process.send?.(report);
}

let broker: EmbeddedBroker | null = null;

async function stop(): Promise<void> {
  await broker?.stop();
  process.exit(0);
}

process.on('message', (message: BrokerOrder) => {
  if (message.kind === 'access') broker?.setAccess(message.access);
  else if (message.kind === 'tls') broker?.setTls(message.tls);
  if (message.kind !== 'start' || broker) return;
  const embedded = new EmbeddedBroker(message, {
    refused: (cause, detail, count) => tell({ kind: 'refused', cause, detail, count }),
    trespass: (trespass, count) => tell({ kind: 'trespass', ...trespass, count }),
  });
  broker = embedded;
  embedded.start().then(
    ports => tell({ kind: 'listening', ...ports }),
    (error: NodeJS.ErrnoException) => {
      tell({ kind: 'failed', code: error.code ?? 'unknown', message: error.message });
    },
  );
});
process.on('disconnect', () => void stop());
process.on('SIGTERM', () => void stop());
// Ctrl-C reaches the whole group; the parent says when to end, after the last messages are out.
process.on('SIGINT', () => {});
