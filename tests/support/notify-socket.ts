/** A supervisor's ear: the datagrams that systemd-notify(1) sends. Node has no Unix datagram socket, Python has. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { startCommand } from './programs.ts';
import { tempDir } from './temp-dir.ts';
import { waitUntil } from './wait-until.ts';

const LISTEN = `
import socket, sys
ear = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
ear.setsockopt(socket.SOL_SOCKET, socket.SO_PASSCRED, 1)
ear.bind(sys.argv[1])
while True:
    text, rights, _, _ = ear.recvmsg(4096, 4096)
    # A barrier hands over a descriptor and waits until it is closed.
    for _, _, data in rights:
        if len(data) == 4:
            import os
            try: os.close(int.from_bytes(data, sys.byteorder))
            except OSError: pass
    print(text.decode(), flush=True)
`;

export interface NotifySocket {
  readonly path: string;
  /** Every assignment heard so far. */
  readonly heard: () => string[];
}

/** Closed with the running test. */
export async function notifySocket(): Promise<NotifySocket> {
  const path = join(tempDir(), 'notify');
  const listener = startCommand('python3', ['-c', LISTEN, path]);
  await waitUntil(
    () => existsSync(path),
    () => `the notify socket: ${listener.stderr()}`,
  );
  return { path, heard: () => listener.stdout().split('\n').filter(Boolean) };
}
