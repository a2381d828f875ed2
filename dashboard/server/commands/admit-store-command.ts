/** `admit-store NAME`: a certificate by which another dashboard connects to this truck's broker as the store NAME. */
import { X509Certificate } from 'node:crypto';
import { existsSync, mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { Command } from 'commander';
import { EXIT, ProgramError } from '#core/program/program-error';
import { identityOf } from '#core/topics/access';
import { isTopicId } from '#core/topics/topics';
import { makeMachine } from '../machines/certificate-authority.ts';
import { TruckCertificates } from '../machines/truck-certificates.ts';
import { writeWhole } from '../write-whole.ts';
import { withDesk, writeDown } from './machines-command.ts';

interface Flags {
  readonly into: string;
  readonly data?: string;
  readonly config?: string;
}

const STORE_DAYS = 5 * 365;

export function addAdmitStoreCommand(program: Command): void {
  program
    .command('admit-store <name>')
    .description('make the certificate by which another dashboard connects to this truck’s broker')
    .requiredOption(
      '--into <directory>',
      'where to write key, certificate and authority: carry them there, and only there',
    )
    .option('--data <directory>', 'directory of the store (girthlog-data/dashboard)')
    .option('--config <file>', 'TOML file of the dashboard')
    .action(admit);
}

async function admit(name: string, flags: Flags): Promise<void> {
  if (!isTopicId(name)) {
    throw new ProgramError(`"${name}" is no name of a store: use a-z, 0-9 and "-".`, EXIT.usage);
  }
  const directory = resolve(flags.into);
  const file = (end: string): string => join(directory, end);
  if (existsSync(file('store.key'))) {
    throw new ProgramError(`${file('store.key')} is there already: choose an empty directory.`, EXIT.usage);
  }
  await withDesk(flags, async (_desk, settings, table) => {
    const isEncrypted =
      settings.broker === null ? settings.tls === 'on' : settings.broker.startsWith('mqtts:');
    if (!isEncrypted) {
      throw new ProgramError(
        'Certificates are for a broker with TLS: say tls = "on" first.',
        EXIT.configuration,
      );
    }
    if (name === settings.store) {
      throw new ProgramError(`${name} is this truck's own store: another needs another name.`, EXIT.usage);
    }
    const now = new Date();
    const certificates = new TruckCertificates({ settings, now: () => now });
    const issuer = await certificates.authority();
    const { key, certificate } = await makeMachine(
      issuer,
      identityOf({ kind: 'store', store: name }),
      now,
      STORE_DAYS,
    );
    mkdirSync(directory, { recursive: true, mode: 0o700 });
    writeWhole(file('store.key'), key, 0o400);
    writeWhole(file('store.pem'), certificate, 0o444);
    writeWhole(file('authority.pem'), (await certificates.server()).authority, 0o444);
    const { serialNumber, validTo } = new X509Certificate(certificate);
    table.addStore(name, serialNumber.toUpperCase(), now.toISOString(), new Date(validTo).toISOString());
    await writeDown(settings, 'machineEnrolled', `store.${name}`);
    process.stdout.write(
      `In ${directory}. In the configuration of the other dashboard:\n\n` +
        `store = "${name}"\nbroker = "mqtts://TRUCK:8883"\nbroker_authority = "…/authority.pem"\n` +
        'broker_certificate = "…/store.pem"\nbroker_key = "…/store.key"\n\n' +
        `Its edges list "${name}" in store.required_stores. With Mosquitto: broker-config --stores ${name}.\n`,
    );
  });
}
