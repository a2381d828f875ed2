/** A board becomes a machine of a truck: keys made or read here, shown with the code, credentials kept. */
import { createPublicKey, generateKeyPairSync, sign } from 'node:crypto';
import { mkdirSync } from 'node:fs';
import { dirname } from 'node:path';
import { type EnrolmentAnswer, enrolmentText } from '#core/messages/enrolment';
import { toHex } from '#core/record/hex';
import type { EdgeConfig } from '../config/edge-config.ts';
import { keyPathOf, openSealKey } from '../seal/seal-key.ts';
import { askDashboard } from './ask-dashboard.ts';
import { ENROLMENT_FILES, giveTo, keepEnrolment } from './enrolment-folder.ts';

export interface EnrolledBoard {
  readonly folder: string;
  readonly url: string;
  /** Of the key that signs the rig's records. */
  readonly sealKeyId: string;
  readonly answer: EnrolmentAnswer;
}

/** Throws ProgramError; nothing is kept then. */
export async function enrolBoard(
  { address, storePath }: Pick<EdgeConfig, 'address' | 'storePath'>,
  dashboard: URL,
  authority: string | null,
  code: string,
  now: Date,
): Promise<EnrolledBoard> {
  mkdirSync(dirname(storePath), { recursive: true });
  const { key: sealKey, made } = openSealKey(keyPathOf(storePath));
  if (made) giveTo(keyPathOf(storePath), dirname(storePath));
  const { privateKey } = generateKeyPairSync('ec', { namedCurve: 'prime256v1' });
  const shown = {
    code,
    ...address,
    publicKey: createPublicKey(privateKey).export({ type: 'spki', format: 'pem' }).toString(),
    sealPublicKey: sealKey.publicKey,
  };
  const text = Buffer.from(enrolmentText(shown), 'utf8');
  const answer = await askDashboard(dashboard, authority, {
    ...shown,
    proof: toHex(sign('sha256', text, privateKey)),
    sealProof: toHex(sealKey.sign(text)),
  });
  const { broker, credential } = answer;
  const url = 'url' in broker ? broker.url : `${broker.scheme}://${dashboard.hostname}:${broker.port}`;
  const about = {
    schema: 'girthlog.enrolment-kept/1',
    ...address,
    url,
    dashboard: dashboard.origin,
    enrolledAt: now.toISOString(),
  } as const;
  const folder =
    credential.kind === 'certificate'
      ? keepEnrolment(
          storePath,
          { ...about, username: null, endsAt: credential.endsAt },
          {
            [ENROLMENT_FILES.key]: privateKey.export({ type: 'pkcs8', format: 'pem' }).toString(),
            [ENROLMENT_FILES.certificate]: credential.certificate,
            [ENROLMENT_FILES.authority]: credential.authority,
          },
        )
      : keepEnrolment(
          storePath,
          { ...about, username: credential.username, endsAt: null },
          { [ENROLMENT_FILES.secret]: credential.secret },
        );
  return { folder, url, sealKeyId: sealKey.keyId, answer };
}
