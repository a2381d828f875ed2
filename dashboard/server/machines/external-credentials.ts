/** What this dashboard shows an external broker: given files, or a certificate of the truck's own authority. */
import { readFileSync } from 'node:fs';
import { EXIT, ProgramError } from '#core/program/program-error';
import { identityOf } from '#core/topics/access';
import type { LinkCredentials } from '../ingest/mqtt-link.ts';
import type { Settings } from '../settings.ts';
import type { TruckCertificates } from './truck-certificates.ts';

type Given = Pick<Settings, 'store' | 'brokerAuthority' | 'brokerCertificate' | 'brokerKey'>;

export async function externalCredentials(
  url: string,
  { store, brokerAuthority, brokerCertificate, brokerKey }: Given,
  certificates: TruckCertificates,
): Promise<LinkCredentials> {
  if ((brokerCertificate === null) !== (brokerKey === null)) {
    throw new ProgramError('broker_certificate and broker_key belong together.', EXIT.configuration);
  }
  if (!url.startsWith('mqtts:')) return {};
  const own = certificates.hasAuthority ? await certificates.authority() : null;
  const ca = brokerAuthority === null ? own?.certificate : read(brokerAuthority);
  if (brokerCertificate !== null && brokerKey !== null) {
    return { ...(ca && { ca }), cert: read(brokerCertificate), key: read(brokerKey) };
  }
  if (!own) return { ...(ca && { ca }) };
  const { certificate, key } = await certificates.store(identityOf({ kind: 'store', store }));
  return { ...(ca && { ca }), cert: certificate, key };
}

function read(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    throw new ProgramError(
      `${file} cannot be read (${(error as NodeJS.ErrnoException).code}).`,
      EXIT.configuration,
    );
  }
}
