/** A truck's authority and list of machines in a folder of their own, and boards enrolled there. */
import { createPublicKey, generateKeyPairSync, sign } from 'node:crypto';
import Sqlite from 'better-sqlite3';
import { onTestFinished } from 'vitest';
import { type EnrolmentRequest, enrolmentText } from '#core/messages/enrolment';
import type { RigAddress } from '#core/topics/topics';
import type { BrokerTls, Credential } from '../../dashboard/server/broker/protocol.ts';
import { EnrolmentDesk } from '../../dashboard/server/machines/enrolment-desk.ts';
import { MachineTable } from '../../dashboard/server/machines/machine-table.ts';
import { TruckCertificates } from '../../dashboard/server/machines/truck-certificates.ts';
import { recordedEvents } from './recorded-events.ts';
import { tempDir } from './temp-dir.ts';

export interface BoardKeys {
  readonly request: Omit<EnrolmentRequest, 'code'>;
  /** PEM. */
  readonly key: string;
  readonly with: (code: string) => EnrolmentRequest;
}

/** Keys of a board, and its request for a code. */
export function boardKeys(address: RigAddress): BoardKeys {
  const { privateKey } = generateKeyPairSync('ec', { namedCurve: 'prime256v1' });
  const seal = generateKeyPairSync('ed25519');
  const sealPublicKey = Buffer.from(seal.publicKey.export({ format: 'jwk' }).x ?? '', 'base64url').toString(
    'hex',
  );
  const publicKey = createPublicKey(privateKey).export({ type: 'spki', format: 'pem' }).toString();
  const shown = { ...address, publicKey, sealPublicKey };
  const complete = (code: string): EnrolmentRequest => {
    const text = Buffer.from(enrolmentText({ ...shown, code }), 'utf8');
    return {
      ...shown,
      code,
      proof: sign('sha256', text, privateKey).toString('hex'),
      sealProof: sign(null, text, seal.privateKey).toString('hex'),
    };
  };
  const { code: _code, ...request } = complete('');
  return {
    request,
    key: privateKey.export({ type: 'pkcs8', format: 'pem' }).toString(),
    with: complete,
  };
}

export interface EnrolledBoard {
  readonly key: string;
  readonly cert: string;
  readonly ca: string;
}

export interface EnrolledTruck {
  readonly data: string;
  readonly table: MachineTable;
  readonly desk: EnrolmentDesk;
  readonly certificates: TruckCertificates;
  readonly enrol: (address: RigAddress) => Promise<EnrolledBoard>;
  /** A certificate for a store. */
  readonly store: (name: string) => Promise<EnrolledBoard>;
  readonly brokerTls: () => Promise<BrokerTls>;
  /** What the broker takes: the machines, and these stores by certificate. */
  readonly credentials: (stores?: Readonly<Record<string, EnrolledBoard>>) => Credential[];
  readonly counts: Record<string, number>;
}

export async function enrolledTruck(now: () => Date = () => new Date()): Promise<EnrolledTruck> {
  const data = tempDir();
  const settings = { data, hostNames: [], tlsCertificate: null, tlsKey: null, tlsAuthority: null };
  const certificates = new TruckCertificates({ settings, now });
  const table = new MachineTable(Sqlite, data);
  onTestFinished(() => table.close());
  const { report, counts } = recordedEvents();
  const desk = new EnrolmentDesk({ table: () => table, now, report, store: 'truck', onChange: () => {} });
  const issuer = await certificates.authority();
  const { X509Certificate } = await import('node:crypto');
  return {
    data,
    table,
    desk,
    certificates,
    counts,
    enrol: async address => {
      const keys = boardKeys(address);
      const { code } = desk.makeCode(address, 'test');
      const tls = { issuer, authority: issuer.certificate };
      const terms = { broker: { scheme: 'mqtts', port: 8883 } as const, tls };
      const { credential } = await desk.enrol(keys.with(code), terms, () => {});
      if (credential.kind !== 'certificate') throw new Error('no certificate');
      return { key: keys.key, cert: credential.certificate, ca: credential.authority };
    },
    store: async name => {
      const { makeMachine } = await import('../../dashboard/server/machines/certificate-authority.ts');
      const { key, certificate } = await makeMachine(issuer, `store.${name}`, now(), 30);
      return { key, cert: certificate, ca: issuer.certificate };
    },
    brokerTls: async () => {
      const { key, certificate } = await certificates.server();
      return { key, certificate, machineAuthority: issuer.certificate };
    },
    credentials: (stores = {}) => [
      ...table.credentials(),
      ...Object.entries(stores).map(([name, { cert }]) => ({
        kind: 'certificate' as const,
        identity: `store.${name}`,
        serial: new X509Certificate(cert).serialNumber.toUpperCase(),
      })),
    ],
  };
}
