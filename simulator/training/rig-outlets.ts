import type { ByteOutput } from '../output/byte-output.ts';
import { TcpOutput } from '../output/tcp-output.ts';

const LOOK_MS = 20;

/** The lines of the rigs, on ports that stay the same from lesson to lesson: whoever listens need not be told anew. */
export class RigOutlets {
  private readonly outlets = new Map<string, TcpOutput>();
  private greetingOf: (rig: string) => Uint8Array = () => new Uint8Array(0);

  /** The line of `rig`, opened where it is not yet. Throws OutputError. */
  async open(rig: string): Promise<ByteOutput> {
    const known = this.outlets.get(rig);
    if (known) return known;
    const outlet = new TcpOutput('127.0.0.1', 0, () => this.greetingOf(rig));
    this.outlets.set(rig, outlet);
    await outlet.start();
    return outlet;
  }

  of(rig: string): ByteOutput {
    const outlet = this.outlets.get(rig);
    if (!outlet) throw new Error(`no line was opened for ${rig}`);
    return outlet;
  }

  greetWith(greetingOf: (rig: string) => Uint8Array): void {
    this.greetingOf = greetingOf;
  }

  /** The rigs nobody listens to after at most `patienceMs`. */
  async unheard(rigs: readonly string[], patienceMs: number): Promise<string[]> {
    const silent = () => rigs.filter(rig => (this.outlets.get(rig)?.readers ?? 0) === 0);
    for (let waitedMs = 0; silent().length > 0 && waitedMs < patienceMs; waitedMs += LOOK_MS) {
      await new Promise(resolve => setTimeout(resolve, LOOK_MS));
    }
    return silent();
  }

  async close(): Promise<void> {
    for (const outlet of this.outlets.values()) await outlet.stop();
    this.outlets.clear();
  }
}
