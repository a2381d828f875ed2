import type { Command } from 'commander';
import { EXIT } from '#core/program/program-error';

const EXAMPLES = `Examples:
  girthlog-edge ports          serial devices by the names that stay theirs
  girthlog-edge ports --json
`;

/** `ports`: which serial devices there are, who may open them and who has them; nothing is opened. */
export function addPortsCommand(program: Command): void {
  program
    .command('ports')
    .description('list the serial devices of this machine (exit 4 where there is none)')
    .option('--json', 'print JSON')
    .addHelpText('before', EXAMPLES)
    .exitOverride()
    .action(({ json }: { json?: true }) => printPorts(json === true));
}

async function printPorts(json: boolean): Promise<void> {
  const [{ listPorts, portHint }, { portHost }] = await Promise.all([
    import('../source/serial-ports.ts'),
    import('./doctor-io.ts'),
  ]);
  const ports = listPorts(portHost()).map(port => ({ ...port, hint: portHint(port) }));
  if (json) {
    process.stdout.write(`${JSON.stringify(ports, null, 2)}\n`);
  } else if (ports.length === 0) {
    process.stdout.write('No serial device is there: plug one in; dmesg says what the kernel makes of it.\n');
  } else {
    for (const { path, realPath, hint } of ports) {
      const where = realPath === null || realPath === path ? '' : ` → ${realPath}`;
      process.stdout.write(`${path}${where}\n    ${hint}\n`);
    }
  }
  process.exitCode = ports.length === 0 ? EXIT.nothingFound : EXIT.ok;
}
