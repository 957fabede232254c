namespace Keyline.Layout.Even;

/// <summary>A quick, symmetric approximate inverse of the Laplacian of a grid with holes whose edges carry signs: one V-cycle.</summary>
/// <remarks>
/// <para>Nodes that are held count as zero. Solves (approximately) sum of (u - sign u') over edges = load.</para>
/// <para>Promises: symmetric and positive, so that it may precondition a descent; the same bits on any number of cores.</para>
/// <para>Cost: linear in nodes.</para>
/// <para>Source: A. Brandt, 1977, Mathematics of Computation 31, 333-390, with damped Jacobi sweeps; signs carried as in the blocks of
/// <see cref="PhaseLevel"/>.</para>
/// </remarks>
internal sealed class SignedMultigrid
{
    private const int CoarsestSide = 6;
    private const int CoarsestSweeps = 24;
    private const int Sweeps = 2;
    private const float Damping = 0.75f;

    // A weak pull to zero, so that a part with nothing held has an inverse.
    private const float Screen = 1e-4f;

    private readonly List<Level> _levels = [];

    private SignedMultigrid()
    {
    }

    /// <summary>Sets up for a grid.</summary>
    /// <param name="rows">Rows of nodes.</param>
    /// <param name="columns">Nodes in a row.</param>
    /// <param name="free">Nodes that are solved for.</param>
    /// <param name="held">Nodes that are zero and pull on their neighbours.</param>
    /// <param name="signs">Signs of the edges.</param>
    public static SignedMultigrid Create(int rows, int columns, bool[] free, bool[] held, NodeSigns signs)
    {
        Level finest = new(rows, columns);
        for (int i = 0; i < free.Length; i++)
        {
            finest.Active[i] = free[i];
            finest.Hold[i] += free[i] ? Screen : 0;
            if (i % columns < columns - 1)
            {
                Join(i, i + 1, finest.East, signs.East[i]);
            }

            if (i + columns < free.Length)
            {
                Join(i, i + columns, finest.South, signs.South[i]);
            }
        }

        finest.Finish();
        SignedMultigrid grid = new();
        grid._levels.Add(finest);
        while (Math.Max(grid._levels[^1].Rows, grid._levels[^1].Columns) > CoarsestSide)
        {
            grid._levels.Add(grid._levels[^1].Coarsen());
        }

        return grid;

        void Join(int i, int j, float[] edges, int sign)
        {
            if (free[i] && free[j])
            {
                edges[i] = sign;
            }
            else if ((free[i] && held[j]) || (held[i] && free[j]))
            {
                finest.Hold[free[i] ? i : j] += 1;
            }
        }
    }

    /// <summary>One V-cycle from nothing.</summary>
    public void Apply(double[] load, double[] result)
    {
        Level top = _levels[0];
        for (int i = 0; i < load.Length; i++)
        {
            top.Load[i] = top.Active[i] ? (float)load[i] : 0;
        }

        for (int k = 0; k < _levels.Count; k++)
        {
            Level level = _levels[k];
            Array.Clear(level.Values);
            level.Sweep(k == _levels.Count - 1 ? CoarsestSweeps : Sweeps);
            if (k < _levels.Count - 1)
            {
                level.HandDown(_levels[k + 1]);
            }
        }

        for (int k = _levels.Count - 2; k >= 0; k--)
        {
            _levels[k].TakeUp(_levels[k + 1]);
            _levels[k].Sweep(Sweeps);
        }

        for (int i = 0; i < result.Length; i++)
        {
            result[i] = top.Active[i] ? top.Values[i] : 0;
        }
    }

    private sealed class Level(int rows, int columns)
    {
        private float[] _next = new float[rows * columns];
        private readonly float[] _inverse = new float[rows * columns];
        private int[] _parents = [];
        private float[] _shares = [];

        public int Rows => rows;

        public int Columns => columns;

        public bool[] Active { get; } = new bool[rows * columns];

        // Strength of an edge times its sign.
        public float[] East { get; } = new float[rows * columns];

        public float[] South { get; } = new float[rows * columns];

        public float[] Hold { get; } = new float[rows * columns];

        public float[] Values { get; private set; } = new float[rows * columns];

        public float[] Load { get; } = new float[rows * columns];

        public void Finish()
        {
            for (int i = 0; i < Active.Length; i++)
            {
                int c = i % columns;
                float sum = Hold[i] + Math.Abs(East[i]) + Math.Abs(South[i]) + (c > 0 ? Math.Abs(East[i - 1]) : 0) + (i >= columns ? Math.Abs(South[i - columns]) : 0);
                _inverse[i] = Active[i] ? 1 / sum : 0;
            }
        }

        public void Sweep(int times)
        {
            for (int k = 0; k < times; k++)
            {
                RowBlocks.Run(rows, columns, (from, to) =>
                {
                    for (int r = from; r < to; r++)
                    {
                        for (int c = 0; c < columns; c++)
                        {
                            int i = (r * columns) + c;
                            _next[i] = Active[i] ? Values[i] + (Damping * _inverse[i] * Residual(i, c)) : 0;
                        }
                    }
                });
                (Values, _next) = (_next, Values);
            }
        }

        public void HandDown(Level coarse)
        {
            Array.Clear(coarse.Load);
            RowBlocks.Run(rows, columns, (from, to) =>
            {
                for (int r = from; r < to; r++)
                {
                    for (int c = 0; c < columns; c++)
                    {
                        int i = (r * columns) + c;
                        _next[i] = Active[i] ? Residual(i, c) : 0;
                    }
                }
            });
            for (int i = 0; i < _next.Length; i++)
            {
                for (int k = 4 * i; k < (4 * i) + 4; k++)
                {
                    coarse.Load[_parents[k]] += _shares[k] * _next[i];
                }
            }
        }

        public void TakeUp(Level coarse) => RowBlocks.Run(rows, columns, (from, to) =>
        {
            for (int i = from * columns; i < to * columns; i++)
            {
                float sum = 0;
                for (int k = 4 * i; k < (4 * i) + 4; k++)
                {
                    sum += _shares[k] * coarse.Values[_parents[k]];
                }

                Values[i] += sum;
            }
        });

        public Level Coarsen()
        {
            Level coarse = new((rows + 1) / 2, (columns + 1) / 2);
            sbyte[] side = new sbyte[Active.Length];
            for (int r = 0; r < coarse.Rows; r++)
            {
                for (int c = 0; c < coarse.Columns; c++)
                {
                    coarse.Active[(r * coarse.Columns) + c] = Sides(2 * r, 2 * c, side);
                }
            }

            // Edges between blocks at half strength: of two, a block twice as wide apart. What holds a node holds it as before.
            for (int i = 0; i < Active.Length; i++)
            {
                int c = i % columns;
                int block = Block(i, coarse);
                coarse.Hold[block] += Hold[i];
                if (c % 2 == 1 && East[i] != 0)
                {
                    coarse.East[block] += 0.5f * East[i] * side[i] * side[i + 1];
                }

                if (i / columns % 2 == 1 && South[i] != 0)
                {
                    coarse.South[block] += 0.5f * South[i] * side[i] * side[i + columns];
                }
            }

            coarse.Finish();
            _parents = new int[4 * Active.Length];
            _shares = new float[4 * Active.Length];
            for (int i = 0; i < Active.Length; i++)
            {
                Parents(i, side[i], coarse);
            }

            return coarse;
        }

        private static int Block(int i, int columns, Level coarse) => (i / columns / 2 * coarse.Columns) + (i % columns / 2);

        private int Block(int i, Level coarse) => Block(i, columns, coarse);

        private float Residual(int i, int c)
        {
            float[] values = Values;
            float[] east = East;
            float[] south = South;
            float sum = Load[i] - (values[i] / _inverse[i]);
            sum += c > 0 ? east[i - 1] * values[i - 1] : 0;
            sum += c < columns - 1 ? east[i] * values[i + 1] : 0;
            sum += i >= columns ? south[i - columns] * values[i - columns] : 0;
            sum += i + columns < values.Length ? south[i] * values[i + columns] : 0;
            return sum;
        }

        // Signs of a block's nodes as its first active node sees them.
        private bool Sides(int row, int column, sbyte[] side)
        {
            int nw = (row * columns) + column;
            bool east = column + 1 < columns;
            bool south = row + 1 < rows;
            ReadOnlySpan<int> nodes = [nw, east ? nw + 1 : -1, south ? nw + columns : -1, east && south ? nw + columns + 1 : -1];
            int first = -1;
            for (int k = 0; k < 4 && first < 0; k++)
            {
                first = nodes[k] >= 0 && Active[nodes[k]] ? k : -1;
            }

            if (first < 0)
            {
                return false;
            }

            side[nodes[first]] = 1;
            for (int round = 0; round < 3; round++)
            {
                for (int k = 0; k < 4; k++)
                {
                    if (nodes[k] < 0 || !Active[nodes[k]] || side[nodes[k]] != 0)
                    {
                        continue;
                    }

                    float beside = nodes[k ^ 1] >= 0 && Active[nodes[k ^ 1]] ? East[nodes[k & 2]] * side[nodes[k ^ 1]] : 0;
                    float across = nodes[k ^ 2] >= 0 && Active[nodes[k ^ 2]] ? South[nodes[k & 1]] * side[nodes[k ^ 2]] : 0;
                    float strongest = Math.Abs(beside) >= Math.Abs(across) ? beside : across;
                    side[nodes[k]] = (sbyte)Math.Sign(strongest);
                }
            }

            for (int k = 0; k < 4; k++)
            {
                if (nodes[k] >= 0 && Active[nodes[k]] && side[nodes[k]] == 0)
                {
                    side[nodes[k]] = 1;
                }
            }

            return true;
        }

        // Bilinear weights of the four blocks around a node, with the signs met on the way; what has no block goes to its own.
        private void Parents(int i, int side, Level coarse)
        {
            int own = Block(i, coarse);
            Array.Fill(_parents, own, 4 * i, 4);
            if (!Active[i])
            {
                return;
            }

            int r = i / columns;
            int c = i % columns;
            int beside = (c & 1) == 0 ? -1 : 1;
            int across = (r & 1) == 0 ? -1 : 1;
            float alongRow = EdgeSign(coarse, own, beside, false);
            float alongColumn = EdgeSign(coarse, own, across, true);
            _shares[4 * i] = side * 9f / 16;
            Put(1, alongRow, own + beside, 3f / 16);
            Put(2, alongColumn, own + (across * coarse.Columns), 3f / 16);
            float corner = alongRow == 0 ? 0 : alongRow * EdgeSign(coarse, own + beside, across, true);
            Put(3, corner, own + beside + (across * coarse.Columns), 1f / 16);

            void Put(int slot, float sign, int block, float share)
            {
                if (sign == 0)
                {
                    _shares[4 * i] += side * share;
                }
                else
                {
                    _parents[(4 * i) + slot] = block;
                    _shares[(4 * i) + slot] = side * sign * share;
                }
            }
        }

        private static float EdgeSign(Level coarse, int block, int step, bool down)
        {
            if (down)
            {
                int first = step > 0 ? block : block - coarse.Columns;
                return first >= 0 && first + coarse.Columns < coarse.Active.Length ? Math.Sign(coarse.South[first]) : 0;
            }

            int column = block % coarse.Columns;
            int west = step > 0 ? block : block - 1;
            return column + step >= 0 && column + step < coarse.Columns ? Math.Sign(coarse.East[west]) : 0;
        }
    }
}
