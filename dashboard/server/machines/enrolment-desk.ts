/** Makes one-time codes, enrols the boards that show them, lists and revokes machines. */
import { createHash, createPublicKey, randomBytes, verify, X509Certificate } from 'node:crypto';
import {
  type EnrolmentAnswer,
  type EnrolmentRequest,
  enrolmentText,
  type Machine,
} from '#core/messages/enrolment';
import { identityOf } from '#core/topics/access';
import type { RigAddress } from '#core/topics/topics';
import { codeHash, newCode } from '../auth/one-time-code.ts';
import { nodeSealCrypto } from '../ingest/node-seal-crypto.ts';
import type { ReportEvent } from '../internal-events.ts';
import { issueMachine, type KeyAndCertificate } from './certificate-authority.ts';
import { EnrolmentRefused } from './enrolment-refused.ts';
import type { MachineTable } from './machine-table.ts';

const CODE_LASTS_MS = 15 * 60_000;
/** A board keeps its certificate for years: what may connect is decided by the list, not by its end. Our own choice. */
const MACHINE_DAYS = 5 * 365;
const SECRET_BYTES = 32;

export interface EnrolmentDeskOptions {
  readonly table: () => MachineTable;
  readonly now: () => Date;
  readonly report: ReportEvent;
  readonly store: string;
  /** Called when who may connect has changed here. */
  readonly onChange: () => void;
}

/** What a board is given, and where it is sent. */
export interface EnrolmentTerms {
  readonly broker: EnrolmentAnswer['broker'];
  /** Null: by secret, where the broker speaks without TLS. */
  readonly tls: {
    /** Who signs the machines. */
    readonly issuer: KeyAndCertificate;
    /** Whom they trust. */
    readonly authority: string;
  } | null;
}

/** The seal key of an enrolled rig is known now, by whoever made the code. */
export type OnSealKey = (rig: RigAddress, publicKey: string, by: string) => void;

export class EnrolmentDesk {
  private readonly options: EnrolmentDeskOptions;

  constructor(options: EnrolmentDeskOptions) {
    this.options = options;
  }

  /** For one rig, once, for 15 minutes. Only its hash is kept. */
  makeCode(rig: RigAddress, by: string): { code: string; endsAt: string } {
    const now = this.options.now();
    const code = newCode();
    const endsAt = new Date(now.getTime() + CODE_LASTS_MS).toISOString();
    this.options.table().addCode(codeHash(code), rig, now.toISOString(), by, endsAt);
    return { code, endsAt };
  }

  /** Throws EnrolmentRefused. */
  async enrol(
    request: EnrolmentRequest,
    terms: EnrolmentTerms,
    onSealKey: OnSealKey,
  ): Promise<EnrolmentAnswer> {
    const { report, store } = this.options;
    const table = this.options.table();
    const { site, rig } = request;
    const hash = codeHash(request.code);
    const at = this.options.now().toISOString();
    const code = table.code(hash);
    const problem =
      code === null
        ? 'codeUnknown'
        : code.usedAt !== null
          ? 'codeUsed'
          : code.endsAt <= at
            ? 'codeEnded'
            : code.site !== site || code.rig !== rig
              ? 'codeOfAnotherRig'
              : areKeysItsOwn(request)
                ? null
                : 'proofWrong';
    if (code === null || problem !== null) {
      report('enrolmentRefused', { site, rig, cause: problem });
      throw new EnrolmentRefused(problem ?? 'codeUnknown');
    }
    const made = await this.credentialFor(request, terms);
    table.inOne(() => {
      if (!table.useCode(hash, at)) throw new EnrolmentRefused('codeUsed');
      const { kind, proof, endsAt } = made;
      table.add({ site, rig, kind, proof, sealPublicKey: request.sealPublicKey, at, endsAt });
    });
    report('machineEnrolled', { site, rig, kind: made.kind, by: code.madeBy });
    onSealKey({ site, rig }, request.sealPublicKey, code.madeBy);
    this.options.onChange();
    return { site, rig, store, broker: terms.broker, credential: made.credential };
  }

  /** False when the rig has no machine that may connect. */
  revoke(rig: RigAddress, by: string, reason: string): boolean {
    const { report } = this.options;
    const table = this.options.table();
    const at = this.options.now().toISOString();
    if (!table.revoke(rig, { at, by, reason })) return false;
    report('machineRevoked', { ...rig, by, reason });
    this.options.onChange();
    return true;
  }

  machines(): Machine[] {
    return this.options.table().all();
  }

  private async credentialFor(request: EnrolmentRequest, { tls }: EnrolmentTerms) {
    const { site, rig } = request;
    const identity = identityOf({ kind: 'edge', site, rig });
    if (tls === null) {
      const secret = randomBytes(SECRET_BYTES).toString('hex');
      return {
        kind: 'secret',
        proof: createHash('sha256').update(secret).digest('hex'),
        endsAt: null,
        credential: { kind: 'secret', username: identity, secret },
      } as const;
    }
    const now = this.options.now();
    const certificate = await issueMachine(tls.issuer, identity, request.publicKey, now, MACHINE_DAYS);
    const { serialNumber, validTo } = new X509Certificate(certificate);
    const endsAt = new Date(validTo).toISOString();
    return {
      kind: 'certificate',
      proof: serialNumber.toUpperCase(),
      endsAt,
      credential: { kind: 'certificate', certificate, authority: tls.authority, endsAt },
    } as const;
  }
}

/** Has the board the private halves of both keys it shows? */
function areKeysItsOwn(request: EnrolmentRequest): boolean {
  const text = Buffer.from(enrolmentText(request), 'utf8');
  try {
    const key = createPublicKey(request.publicKey);
    const isCurve = key.asymmetricKeyType === 'ec' && key.asymmetricKeyDetails?.namedCurve === 'prime256v1';
    if (!isCurve || !verify('sha256', text, key, Buffer.from(request.proof, 'hex'))) return false;
  } catch {
    return false;
  }
  return nodeSealCrypto.verifySignature(
    Buffer.from(request.sealPublicKey, 'hex'),
    text,
    Buffer.from(request.sealProof, 'hex'),
  );
}
