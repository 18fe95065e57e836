/** A made-up vehicle of any size: a battery in front, loads along both sides, each with feed and return. */
import type { Picture, PictureConductor, PictureJoint, PicturePoint } from '../../src/lib/api/picture';

export function grid(joints: number): Picture {
  const points: PicturePoint[] = [];
  const conductors: PictureConductor[] = [];
  const made: PictureJoint[] = [];
  const loads: Picture['loads'][number][] = [];
  const point = (
    id: string,
    forward: number,
    left: number,
    owner: PicturePoint['owner'],
    structure: string | null,
  ): void => {
    points.push({
      id,
      owner,
      structure,
      device: null,
      forward,
      left,
      placed: true,
      reachable: true,
      reach_seconds: 30,
      cover: null,
      family: 'other',
      note: null,
      new_end_cautions: [],
    });
  };
  const cable = (id: string, from: string, to: string, family: 'feed' | 'return'): void => {
    conductors.push({
      id,
      from,
      to,
      from_joint: `${id}.from`,
      to_joint: `${id}.to`,
      kind: 'cable',
      size: '6 mm²',
      square_metres: 6e-6,
      metres: 1,
      family,
      ohms: 0.003,
      on_diagram: true,
      material: 'copper',
      insulation: null,
      device: null,
      note: null,
    });
    for (const [end, at] of [
      ['from', from],
      ['to', to],
    ] as const) {
      made.push({
        id: `${id}.${end}`,
        point: at,
        conductor: id,
        device: null,
        beside: null,
        kind: 'bolted lug',
        ohms: 1e-4,
        stated: false,
        torque_newton_metres: null,
        thread: null,
        finish: null,
        protection: null,
        stack: 1,
        serviced: null,
        note: null,
        cautions: [],
      });
    }
  };
  const n = Math.max(2, Math.round(joints / 4));
  for (const sign of ['+', '-']) point(`battery/${sign}`, 0.5, 0.6, sign === '+' ? 'positive' : 'negative', null);
  for (let i = 0; i < n; i += 1) {
    const id = i === n - 1 ? 'tail' : `load-${i}`;
    const forward = 0.4 - (i / n) ** 2 * 5;
    const left = i % 2 === 0 ? 0.8 : -0.8;
    for (const sign of ['+', '-']) point(`${id}/${sign}`, forward, left, sign === '+' ? 'positive' : 'negative', null);
    point(`body/s${i}`, forward - 0.1, left * 0.7, 'structure', 'body');
    cable(`${id}.feed`, 'battery/+', `${id}/+`, 'feed');
    cable(`${id}.return`, `${id}/-`, `body/s${i}`, 'return');
    loads.push({
      id,
      name: id,
      kind: 'lamp',
      turns: false,
      positive: `${id}/+`,
      negative: `${id}/-`,
      on: ['running'],
      minimum_volts: null,
      importance: 'ordinary',
      note: null,
    });
  }
  return {
    name: 'grid',
    cautions: [],
    reading_cautions: [],
    earth: 'negative',
    nominal_volts: 12,
    points,
    conductors,
    joints: made,
    loads,
    structures: [
      {
        id: 'body',
        name: 'body',
        material: 'carbon steel',
        points: points.filter(({ structure }) => structure).map(({ id }) => id),
        note: null,
      },
    ],
    stretches: [],
    incidental: [],
    inline: [],
    sources: [],
    batteries: [{ id: 'battery', kind: 'battery', positive: 'battery/+', negative: 'battery/-', note: null }],
    states: [{ id: 'running', name: 'running', seconds: null, engine: 'runs', caution: '' }],
    covers: [],
    environment: 'inland',
    note: null,
  };
}
