/** What this dashboard shows an external broker: given files, or a certificate of the truck's own authority. */

import { EXIT, ProgramError } from '#core/program/program-error';
import { identityOf } from '#core/topics/access';
import type { LinkCredentials } from '../ingest/mqtt-link.ts';
import { readTextFile } from '../read-text-file.ts';
import type { Settings } from '../settings.ts';
import type { TruckCertificates } from './truck-certificates.ts';

type Given = Pick<Settings, 'store' | 'brokerAuthority' | 'brokerCertificate' | 'brokerKey'>;

export async function externalCredentials(
  url: string,
  { store, brokerAuthority, brokerCertificate, brokerKey }: Given,
  certificates: TruckCertificates,
): Promise<LinkCredentials> {
  const given = givenCredentials({ brokerAuthority, brokerCertificate, brokerKey });
  if (!url.startsWith('mqtts:')) return {};
  const own = certificates.hasAuthority ? await certificates.authority() : null;
  const withAuthority = own && !given.ca ? { ...given, ca: own.certificate } : given;
  if (!own || given.cert) return withAuthority;
  const { certificate, key } = await certificates.store(identityOf({ kind: 'store', store }));
  return { ...withAuthority, cert: certificate, key };
}

/** What is in the files that somebody named. Throws ProgramError for one that is missing or cannot be read. */
export function givenCredentials({
  brokerAuthority,
  brokerCertificate,
  brokerKey,
}: Omit<Given, 'store'>): LinkCredentials {
  if ((brokerCertificate === null) !== (brokerKey === null)) {
    throw new ProgramError('broker_certificate and broker_key belong together.', EXIT.configuration);
  }
  return {
    ...(brokerAuthority !== null && { ca: readTextFile(brokerAuthority) }),
    ...(brokerCertificate !== null && { cert: readTextFile(brokerCertificate) }),
    ...(brokerKey !== null && { key: readTextFile(brokerKey) }),
  };
}
