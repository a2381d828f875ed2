import { createServer } from 'node:net';
import { EXIT, ProgramError } from '#core/program/program-error';

/** Throws ProgramError when nobody could listen on the port now. */
export async function checkPort(host: string, port: number, command = 'npm start --'): Promise<void> {
  const problem = await new Promise<NodeJS.ErrnoException | null>(resolve => {
    const probe = createServer();
    probe.once('error', resolve);
    probe.listen(port, host, () => probe.close(() => resolve(null)));
  });
  if (problem === null) return;
  const other = `choose another with: ${command} --port 8090`;
  if (problem.code === 'EADDRINUSE') {
    throw new ProgramError(`Port ${port} on ${host} is already in use; ${other}`, EXIT.network);
  }
  if (problem.code === 'EACCES') {
    throw new ProgramError(`Port ${port} needs more rights than this user has; ${other}`, EXIT.network);
  }
  throw new ProgramError(
    `Port ${port} on ${host} cannot be used (${problem.message}); ${other}`,
    EXIT.network,
  );
}
