// Which layer may import which. `tools/imports.mjs` also plants a forbidden import and demands that it is seen.
const layers = {
  formats: ['core'],
  records: ['core'],
  report: ['core', 'records'],
  papers: ['core', 'records', 'report', 'formats'],
  app: ['core', 'formats', 'records', 'report'],
  host: ['core', 'formats', 'records'],
  store: ['core', 'records'],
  server: ['core', 'records', 'app'],
  // Use cases that are pure run in the browser's worker; of the server only the types.
  web: ['core', 'formats', 'records', 'report', 'app'],
};
// What a layer gives to the use cases is declared among them.
const portsOf = {
  host: ['^src/app/ports\\.ts$'],
  store: ['^src/app/(store|bench)-port\\.ts$'],
  web: ['^src/server/api\\.ts$'],
};
const inCore = {
  units: [],
  math: ['units'],
  sun: ['units', 'math'],
  weather: ['units', 'math', 'sun'],
  panel: ['units', 'math'],
  charger: ['units', 'math', 'panel'],
  cells: ['units', 'math'],
  load: ['units', 'math'],
  energy: ['units', 'math', 'sun', 'weather', 'panel', 'charger', 'cells', 'load'],
  antenna: ['units', 'math'],
  airtime: ['units', 'math'],
  path: ['units', 'math', 'antenna'],
  terrain: ['units', 'math'],
  reach: ['units', 'math', 'antenna', 'airtime', 'path', 'terrain'],
  quality: ['units', 'math'],
  money: ['units', 'math'],
  bench: ['units', 'math', 'sun', 'panel'],
};

module.exports = {
  forbidden: [
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
    { name: 'core-imports-nothing', severity: 'error', from: { path: '^src/core/' }, to: { pathNot: '^src/core/' } },
    ...Object.entries(layers).map(([layer, may]) => ({
      name: `${layer}-layer`,
      severity: 'error',
      from: { path: `^src/${layer}/` },
      to: {
        path: '^src/',
        pathNot: [`^src/(${[layer, ...may].join('|')})/`, ...(portsOf[layer] ?? [])],
      },
    })),
    ...Object.entries(inCore).map(([folder, may]) => ({
      name: `core-${folder}`,
      severity: 'error',
      from: { path: `^src/core/${folder}/` },
      to: { path: '^src/core/', pathNot: `^src/core/(${[folder, ...may].join('|')})/` },
    })),
    {
      name: 'core-folders-by-index',
      severity: 'error',
      from: { path: '^src/core/([^/]+)/' },
      to: { path: '^src/core/([^/]+)/(?!index\\.ts$)', pathNot: '^src/core/$1/' },
    },
    { name: 'no-test-in-source', severity: 'error', from: { path: '^src/' }, to: { path: '^(test|perf|tools)/' } },
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    doNotFollow: { path: 'node_modules' },
    enhancedResolveOptions: { extensions: ['.ts', '.tsx', '.mjs', '.js', '.json'] },
  },
};
