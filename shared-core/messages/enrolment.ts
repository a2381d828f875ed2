/**
 * How a board becomes a machine of this truck: it shows the one-time code that somebody at the truck has made for its
 * site and rig, its own public key, and the key its records are sealed with; it gets what the broker asks for.
 * POST /api/v1/enrolments
 */
import { z } from 'zod';
import { canonicalJson } from '../record/canonical-json.ts';
import { publicKeySchema } from '../record/seal.ts';
import { topicIdSchema, utcSchema } from './common.ts';

const hexSignature = z.string().regex(/^(?:[0-9a-f]{2}){8,200}$/, 'a signature in hex');

export const enrolmentRequestSchema = z.strictObject({
  code: z.string().min(4).max(64),
  site: topicIdSchema,
  rig: topicIdSchema,
  /** ECDSA P-256, SubjectPublicKeyInfo in PEM. The private half stays on the board. */
  publicKey: z
    .string()
    .max(1000)
    .regex(/^-----BEGIN PUBLIC KEY-----\n[A-Za-z0-9+/=\n]+-----END PUBLIC KEY-----\n?$/, 'a public key, PEM'),
  /** By that key over the text of `enrolmentText`, ECDSA with SHA-256 in DER: it is the board's own. */
  proof: hexSignature,
  /** The Ed25519 key of the rig's seals, and its signature over the same text. */
  sealPublicKey: publicKeySchema,
  sealProof: hexSignature,
});
export type EnrolmentRequest = z.infer<typeof enrolmentRequestSchema>;

/** What both keys sign: with the code in it, so that it is good for this once. */
export function enrolmentText(
  request: Pick<EnrolmentRequest, 'code' | 'site' | 'rig' | 'publicKey' | 'sealPublicKey'>,
): string {
  const { code, site, rig, publicKey, sealPublicKey } = request;
  return canonicalJson({ schema: 'girthlog.enrolment/1', code, site, rig, publicKey, sealPublicKey });
}

export const enrolmentAnswerSchema = z.strictObject({
  site: topicIdSchema,
  rig: topicIdSchema,
  /** Name of the store, which the edge lists as required. */
  store: topicIdSchema,
  /** Where to connect: a whole address, or the port on the host that was asked. */
  broker: z.union([
    z.strictObject({ url: z.string().max(300) }),
    z.strictObject({ scheme: z.enum(['mqtt', 'mqtts']), port: z.int().min(1).max(65_535) }),
  ]),
  credential: z.discriminatedUnion('kind', [
    /** PEM; `authority` is who signed the broker's certificate. */
    z.strictObject({
      kind: z.literal('certificate'),
      certificate: z.string(),
      authority: z.string(),
      endsAt: utcSchema,
    }),
    /** Where the broker speaks without TLS, on one machine. */
    z.strictObject({ kind: z.literal('secret'), username: z.string(), secret: z.string() }),
  ]),
});
export type EnrolmentAnswer = z.infer<typeof enrolmentAnswerSchema>;

/** One board as the truck knows it. */
export const machineSchema = z.strictObject({
  site: topicIdSchema,
  rig: topicIdSchema,
  kind: z.enum(['certificate', 'secret']),
  /** Of its certificate; null for a secret. */
  serial: z.string().nullable(),
  sealPublicKey: publicKeySchema,
  enrolledAt: utcSchema,
  /** When its certificate ends. */
  endsAt: utcSchema.nullable(),
  /** `valid`: it may connect; `replaced`: the rig was enrolled again; `revoked`: somebody took it back. */
  state: z.enum(['valid', 'replaced', 'revoked']),
  since: utcSchema,
  /** Who revoked it, and why. */
  decidedBy: z.string().nullable(),
  reason: z.string().nullable(),
});
export type Machine = z.infer<typeof machineSchema>;

/** GET /api/v1/machines */
export const machineListSchema = z.strictObject({ machines: z.array(machineSchema) });
export type MachineList = z.infer<typeof machineListSchema>;

/** POST /api/v1/rigs/{site}/{rig}/machine/codes */
export const givenMachineCodeSchema = z.strictObject({
  code: z.string(),
  endsAt: utcSchema,
  /** SHA-256 of the authority's certificate, to compare at the board; null without TLS. */
  fingerprint: z.string().nullable(),
});
export type GivenMachineCode = z.infer<typeof givenMachineCodeSchema>;

/** POST /api/v1/rigs/{site}/{rig}/machine/revocations */
export const revocationSchema = z.strictObject({ reason: z.string().trim().min(3).max(300) });
