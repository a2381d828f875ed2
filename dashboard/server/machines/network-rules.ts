/** What the settings say of the network, in one place: what is encrypted, who may connect, what is refused. */
import { isIP } from 'node:net';
import { EXIT, ProgramError } from '#core/program/program-error';
import { isLoopback, type Settings } from '../settings.ts';

/** Page and broker speak TLS: a cookie may be marked Secure. */
export function isSecure({ tls }: Pick<Settings, 'tls'>): boolean {
  return tls === 'on';
}

/** Only machines enrolled here may connect to the embedded broker. */
export function areMachinesEnrolled({
  machines,
  mqtt,
  openNetwork,
}: Pick<Settings, 'machines' | 'mqtt' | 'openNetwork'>): boolean {
  return machines === 'enrolled' || !(isLoopback(mqtt.host) || openNetwork);
}

/** The host name under which this truck asks browsers to insist on TLS; a bare address cannot be insisted on. */
export function insistsOnTls({ tls, tlsCertificate, hostNames }: Settings): boolean {
  // With a certificate that a browser does not know, insisting would take away the way past its warning.
  return tls === 'on' && tlsCertificate !== null && hostNames.some(name => isIP(name) === 0);
}

/** Throws ProgramError where the settings would open something to the network that nothing protects. */
export function refuseOpenNetwork(settings: Settings): void {
  const { tls, tlsCertificate, tlsKey, openNetwork } = settings;
  if ((tlsCertificate === null) !== (tlsKey === null)) {
    throw new ProgramError('tls_certificate and tls_key belong together.', EXIT.configuration);
  }
  if (tls === 'off' && tlsCertificate !== null) {
    throw new ProgramError(
      'tls_certificate is given, but TLS is off: say --tls on, or leave the certificate out.',
      EXIT.configuration,
    );
  }
  if (openNetwork) return;
  const listeners = [
    ['--http', settings.http.host],
    ...(settings.broker === null ? [['--mqtt', settings.mqtt.host]] : []),
  ] as const;
  for (const [flag, host] of listeners) {
    if (isLoopback(host as string)) continue;
    if (tls === 'off') {
      throw new ProgramError(
        `${flag} ${host} would open the dashboard to the network without encryption: say --tls on, use ` +
          '127.0.0.1, or say --open-network to accept that anyone there can read along and enter records.',
        EXIT.configuration,
      );
    }
  }
}
