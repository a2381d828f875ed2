/** `broker-config --mosquitto DIR`: the files another broker needs to let in what the embedded one lets in. */
import { mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { Command } from 'commander';
import { EXIT, ProgramError } from '#core/program/program-error';
import { MAX_PACKET_BYTES } from '../broker/protocol.ts';
import { loadConfig } from '../load-config.ts';
import { revocationList } from '../machines/certificate-authority.ts';
import { MachineTable } from '../machines/machine-table.ts';
import { mosquittoFiles } from '../machines/mosquitto-files.ts';
import { TruckCertificates } from '../machines/truck-certificates.ts';
import { listenAddressSchema } from '../settings.ts';
import { writeWhole } from '../write-whole.ts';

interface Flags {
  readonly mosquitto: string;
  readonly listen: string;
  readonly stores: string[];
  readonly data?: string;
  readonly config?: string;
}

/** A list that has ended would keep everybody out; it is written again with every change. */
const LIST_DAYS = 3650;

export function addBrokerConfigCommand(program: Command): void {
  program
    .command('broker-config')
    .description(
      'write the files that Mosquitto needs: certificates, who may say and hear what, what is revoked',
    )
    .requiredOption('--mosquitto <directory>', 'where to write them')
    .option('--listen <host:port>', 'where Mosquitto listens', '0.0.0.0:8883')
    .option('--stores <name...>', 'stores beside this one that connect to it', [])
    .option('--data <directory>', 'directory of the store (girthlog-data/dashboard)')
    .option('--config <file>', 'TOML file of the dashboard')
    .action(write);
}

async function write(flags: Flags): Promise<void> {
  const listen = listenAddressSchema.safeParse(flags.listen);
  if (!listen.success) throw new ProgramError(`--listen ${flags.listen} is not HOST:PORT.`, EXIT.usage);
  const { settings } = await loadConfig({ data: flags.data }, flags.config);
  const { default: sqlite } = await import('better-sqlite3');
  const now = (): Date => new Date();
  const certificates = new TruckCertificates({ settings, now });
  const authority = await certificates.authority();
  const { certificate, key } = await certificates.server();
  const table = new MachineTable(sqlite, settings.data);
  try {
    const directory = resolve(flags.mosquitto);
    mkdirSync(directory, { recursive: true });
    const files = mosquittoFiles({
      directory,
      listen: listen.data,
      maxConnections: settings.brokerMaxConnections,
      maxPacketBytes: MAX_PACKET_BYTES,
      stores: [...new Set([settings.store, ...flags.stores])],
      server: { certificate, key },
      machineAuthority: authority.certificate,
      revoked: await revocationList(authority, table.takenBack(), now(), LIST_DAYS),
    });
    for (const { name, text, mode } of files) writeWhole(join(directory, name), text, mode);
    process.stdout.write(
      `${files.map(({ name }) => join(directory, name)).join('\n')}\n\n` +
        `Give server.key and acl to Mosquitto's user, then: mosquitto -c ${join(directory, 'mosquitto.conf')}\n` +
        `and the dashboard: girthlog-dashboard run --broker mqtts://HOST:${listen.data.port}\n`,
    );
  } finally {
    table.close();
  }
}
