import { existsSync } from 'node:fs';
import { benchAtBench } from './at-bench.ts';
import { benchEnergy } from './energy.ts';
import { benchPapers } from './papers.ts';
import { benchReach } from './reach.ts';
import { printRows } from './rows.ts';
import { benchServer } from './server.ts';
import { benchStore } from './store.ts';
import { benchSun } from './sun.ts';
import { benchTerrain } from './terrain.ts';
import { benchWeather } from './weather.ts';
import { benchWeb } from './web.ts';

// `npm run bench`: ratios against general references measured in this same call, absolute figures beside them.
if (!existsSync(new URL('../dist/sunperch.mjs', import.meta.url))) {
  console.error('Build first: npm run build');
  process.exit(1);
}
console.log(`Node ${process.version}; machines differ and are noisy: read the ratios.`);
printRows('Sun', await benchSun());
printRows('Weather', await benchWeather());
printRows('Energy', await benchEnergy());
printRows('Terrain', await benchTerrain());
printRows('Reach', await benchReach());
printRows('Store', await benchStore());
printRows('Server', await benchServer());
printRows('Bench', await benchAtBench());
printRows('Pages', await benchWeb());
printRows('Papers', await benchPapers());
