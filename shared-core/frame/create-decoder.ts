import { AutoDecoder } from './auto-decoder.ts';
import { BinaryDecoder } from './binary-decoder.ts';
import { DelimitedDecoder } from './delimited-decoder.ts';
import type { DelimitedMap } from './delimited-map.ts';
import type { FrameDecoder } from './frame-decoder.ts';
import { TextDecoder } from './text-decoder.ts';

export type DecoderChoice =
  | { readonly format: 'auto' | 'text' | 'binary' }
  | {
      readonly format: 'delimited';
      readonly map: DelimitedMap;
      /** The first byte begins a line, as in a file. */
      readonly startsAtLine: boolean;
    };

export function createDecoder(choice: DecoderChoice): FrameDecoder {
  switch (choice.format) {
    case 'auto':
      return new AutoDecoder();
    case 'text':
      return new TextDecoder();
    case 'binary':
      return new BinaryDecoder();
    case 'delimited':
      return new DelimitedDecoder(choice.map, choice.startsAtLine);
  }
}
