#!/usr/bin/env node
import './check-node.ts';
import { Command, CommanderError } from 'commander';
import { EXIT, ProgramError } from '#core/program/program-error';
import { addCalcCommand } from './calc/calc-command.ts';
import { addBlackBoxCommand } from './commands/black-box-command.ts';
import { addConfigCommand } from './commands/config-command.ts';
import { addDoctorCommand } from './commands/doctor-command.ts';
import { addEnrolCommand } from './commands/enrol-command.ts';
import { addKeyCommand } from './commands/key-command.ts';
import { addPortsCommand } from './commands/ports-command.ts';
import { addRunCommand } from './commands/run-command.ts';
import { addVerifyCommand } from './commands/verify-command.ts';
import { addReplayCommand } from './replay/replay-command.ts';
import { SOFTWARE } from './software.ts';

const EXAMPLES = `Examples:
  girthlog-edge run --config rig-1.toml            log one rig until told to stop
  girthlog-edge config show --config rig-1.toml    every setting and where it came from
  girthlog-edge ports                              serial devices by the names that stay theirs
  girthlog-edge doctor --config rig-1.toml         is everything as it should be, and what to do; exit 3 where not
  girthlog-edge black-box cut --config rig-1.toml --from … --to … --out minute.blackbox
                                                   raw bytes of a stretch, to decode again
  girthlog-edge key show --config rig-1.toml       the fingerprint of the key that signs its records
  girthlog-edge enrol --config rig-1.toml --dashboard https://truck-1:8443 --code …
                                                   make this board a machine of a truck (docs/machines.md)
  girthlog-edge verify --config rig-1.toml         does everything in its store still fit? exit 8 where it does not
  girthlog-edge replay joint.csv --columns map.json --json
                                                   analyse a recording with the live engine
  girthlog-edge calc                               numbers of the trade, with formula and source
`;

const NOTES = `
Settings: flags over environment (GIRTHLOG_EDGE_<TABLE>_<KEY>) over the file; docs/edge.md lists them.
Exit codes: 0 done, 2 usage, 3 configuration, 4 nothing found, 5 device, 6 network or database,
7 verification out of tolerance, 8 integrity, 75 the store failed (start again).
Monitoring only: not a safety device and not an emergency stop; it never commands a rig.`;

const program = new Command('girthlog-edge')
  .description('logs one welding rig: samples in, passes and a durable record out')
  .version(SOFTWARE, '-V, --version', 'print the version')
  .addHelpText('before', EXAMPLES)
  .addHelpText('after', NOTES)
  .exitOverride();

// A reader that goes away (| head) is no error, and no reason to stop logging.
for (const stream of [process.stdout, process.stderr]) stream.on('error', () => undefined);

addRunCommand(program);
addConfigCommand(program);
addPortsCommand(program);
addDoctorCommand(program);
addKeyCommand(program);
addEnrolCommand(program);
addBlackBoxCommand(program);
addVerifyCommand(program);
addReplayCommand(program);
addCalcCommand(program);
for (const command of program.commands) command.exitOverride();

program.parseAsync().catch((error: unknown) => {
  if (error instanceof CommanderError) {
    // Commander has said what is wrong; asking for help or the version is no error.
    process.exitCode = error.exitCode === 0 ? EXIT.ok : EXIT.usage;
  } else if (error instanceof ProgramError) {
    process.stderr.write(`${error.message}\n`);
    process.exitCode = error.exitCode;
  } else {
    throw error;
  }
});
