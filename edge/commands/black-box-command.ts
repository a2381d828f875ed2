import type { Command } from 'commander';
import { EXIT, ProgramError } from '#core/program/program-error';
import { collectSettings } from './collect-settings.ts';

interface CommonOptions {
  readonly config: string;
  readonly set: readonly string[];
  readonly json?: true;
}

interface CutOptions extends CommonOptions {
  readonly from: string;
  readonly to: string;
  readonly out: string;
}

const LIST_EXAMPLES = 'Examples:\n  girthlog-edge black-box list --config rig-1.toml\n';
const CUT_EXAMPLES = `Examples:
  girthlog-edge black-box cut --config rig-1.toml --from 2026-05-12T08:00:00Z --to 2026-05-12T08:02:00Z --out minute.blackbox
  girthlog-edge run --config again.toml --set source.url=file:///data/minute.blackbox?pace=fast
`;

/** `black-box list` and `black-box cut`: the raw bytes an edge keeps beside its store. */
export function addBlackBoxCommand(program: Command): void {
  const box = program.command('black-box').description('the raw bytes kept beside the store');
  const add = (name: string, description: string, examples: string): Command =>
    box
      .command(name)
      .description(description)
      .requiredOption('--config <file>', 'the TOML file')
      .option('--set <table.key=value>', 'override one setting; repeat for more', collectSettings, [])
      .option('--json', 'print JSON')
      .addHelpText('before', examples)
      .exitOverride();
  add('list', 'print which files there are and what time they cover', LIST_EXAMPLES).action(list);
  add('cut', 'write one stretch as a file that a file: source reads', CUT_EXAMPLES)
    .requiredOption('--from <utc>', 'beginning, such as 2026-05-12T08:00:00Z')
    .requiredOption('--to <utc>', 'end')
    .requiredOption('--out <file>', 'file to write; must not exist')
    .action(cut);
  box.exitOverride();
}

async function folderOf({ config: file, set }: CommonOptions): Promise<string> {
  const [{ edgeConfig }, { loadConfig }] = await Promise.all([
    import('../config/edge-config.ts'),
    import('../config/load-config.ts'),
  ]);
  return edgeConfig(loadConfig({ file, set })).blackBox.folder;
}

async function list(options: CommonOptions): Promise<void> {
  const folder = await folderOf(options);
  const { listBlackBox } = await import('../black-box/black-box-reader.ts');
  const files = listBlackBox(folder).map(({ path, bytes, header }) => ({
    file: path,
    bytes,
    startedUtc: new Date(Math.floor(header.startedUs / 1000) + header.utcMinusRecordMs).toISOString(),
    source: header.source,
    origin: header.origin,
    stream: header.stream,
  }));
  if (options.json) {
    process.stdout.write(`${JSON.stringify(files, null, 2)}\n`);
    return;
  }
  if (files.length === 0) process.stdout.write(`nothing is kept in ${folder}\n`);
  for (const { file, bytes, startedUtc, source } of files) {
    process.stdout.write(`${startedUtc}  ${String(bytes).padStart(10)} bytes  ${source}  ${file}\n`);
  }
}

async function cut(options: CutOptions): Promise<void> {
  const fromMs = momentOf('--from', options.from);
  const toMs = momentOf('--to', options.to);
  if (toMs <= fromMs) throw new ProgramError('--to must be after --from', EXIT.usage);
  const folder = await folderOf(options);
  const { cutBlackBox } = await import('../black-box/cut-black-box.ts');
  const found = await cutBlackBox(folder, fromMs, toMs, options.out).catch((error: NodeJS.ErrnoException) => {
    const what = error.code === 'EEXIST' ? 'it exists already' : error.message;
    throw new ProgramError(`${options.out} cannot be written: ${what}`, EXIT.configuration);
  });
  if (found.frames === 0) {
    throw new ProgramError(`nothing of that time is kept in ${folder}`, EXIT.nothingFound);
  }
  if (options.json) process.stdout.write(`${JSON.stringify({ out: options.out, ...found })}\n`);
  else {
    const left = found.leftOut > 0 ? `, ${found.leftOut} bytes were left out in between` : '';
    process.stdout.write(`${options.out}: ${found.bytes} bytes of the link${left}\n`);
  }
}

function momentOf(flag: string, text: string): number {
  const at = Date.parse(text);
  if (!Number.isFinite(at) || !/(Z|[+-]\d\d:\d\d)$/.test(text)) {
    throw new ProgramError(`${flag} takes a moment such as 2026-05-12T08:00:00Z, not "${text}"`, EXIT.usage);
  }
  return at;
}
