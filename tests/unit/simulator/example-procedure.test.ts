import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type Limit, procedureSchema } from '#core/procedure/procedure';
import { burnOffCurrentA, burnOffOf } from '../../../simulator/physics/burn-off.ts';
import { EXAMPLE_PASSES } from '../../../simulator/scenario/example-passes.ts';

const path = new URL('../../../simulator/demo/example-procedure.json', import.meta.url);
const procedure = procedureSchema.parse(JSON.parse(readFileSync(path, 'utf8')));

describe('the example procedure', () => {
  it('says of itself, everywhere, that it is an example', () => {
    expect(procedure.exampleOnly).toBe(true);
    expect(procedure.title).toMatch(/example only/i);
    for (const limit of procedure.passes.flatMap(pass => pass.limits)) {
      expect(limit.authority).toMatch(/example only/);
      if (limit.basis !== 'pass') expect(limit.authority).toMatch(/^project rule/);
    }
  });

  it('names the passes the simulator welds, with their programs', () => {
    const named = procedure.passes.map(({ name, type, program }) => [name, type, program]);
    expect(named).toEqual(EXAMPLE_PASSES.map(({ name, type, program }) => [name, type, program]));
  });

  it.each(procedure.passes.map(pass => [pass.name, pass] as const))(
    '%s is consistent by its own numbers',
    (name, pass) => {
      const limit = (quantity: Limit['quantity']) => pass.limits.find(entry => entry.quantity === quantity)!;
      const nominal = (quantity: Limit['quantity']) => limit(quantity).nominal!;
      const setPoint = EXAMPLE_PASSES.find(point => point.name === name)!;
      // Arc energy U·I/(1000·v) (ISO/TR 18491); heat input 0.8 × that (EN 1011-1, MIG/MAG).
      const energy = (nominal('arcVoltage') * nominal('weldingCurrent')) / (1000 * nominal('travelSpeed'));
      expect(nominal('arcEnergy')).toBeCloseTo(energy, 3);
      expect(nominal('heatInput')).toBeCloseTo(0.8 * energy, 3);
      // The current is the one at which the fed wire melts.
      const feedMmS = (nominal('wireFeedSpeed') * 1000) / 60;
      const current = burnOffCurrentA(burnOffOf(pass.wire!.diameterMm), feedMmS, setPoint.ctwdMm);
      expect(Math.abs(current / nominal('weldingCurrent') - 1)).toBeLessThan(0.01);
      expect(limit('wireFeedSpeed').unit).toBe('m/min');
      expect(pass.limits.map(entry => `${entry.quantity} ${entry.basis}`)).toEqual([
        'weldingCurrent window',
        'arcVoltage window',
        'wireFeedSpeed window',
        'travelSpeed window',
        'arcEnergy pass',
        'heatInput pass',
      ]);
    },
  );
});
