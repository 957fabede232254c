using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>Where each cell stands between valley and ridge: 0 on valley lines, 1 on ridge lines, smooth between.</summary>
/// <remarks>
/// <para>Units: none, 0 to 1. Missing: NaN where the height is missing; missing ground and the grid's edge are walls.</para>
/// <para>Promises: between 0 and 1; exactly 0 in every cell a valley line crosses, exactly 1 in every cell a ridge line
/// crosses and no valley line does; away from the lines no peak above and no dip below 0.5; 0.5 where there is no line.</para>
/// <para>Cost: O(n): a fixed number of sweeps over a pyramid of grids; 12 bytes a cell.</para>
/// <para>Source: harmonic interpolation with a weak pull to 0.5 (the screened Laplace equation), so that ground with
/// valleys but no ridges still rises away from them; nested iteration, Brandt 1977.</para>
/// </remarks>
internal static class LandformPosition
{
    private const byte Free = 0;
    private const byte Beside = 1; // free, with a neighbour missing or outside
    private const byte Fixed = 2;
    private const byte Missing = 3;
    private const int CoarsestSide = 12;
    private const int CoarsestSweeps = 400;
    private const int SweepsBetween = 24;
    private const int FinestSweeps = 12;

    public static Grid<float> Solve(
        ElevationGrid ground, IEnumerable<LineString> valleys, IEnumerable<LineString> ridges, double reach, CancellationToken cancellationToken)
    {
        List<Level> levels = [Finest(ground, valleys, ridges)];
        while (Math.Min(levels[^1].Rows, levels[^1].Columns) > CoarsestSide)
        {
            levels.Add(levels[^1].Halve());
        }

        for (int i = levels.Count - 1; i >= 0; i--)
        {
            cancellationToken.ThrowIfCancellationRequested();
            Level level = levels[i];
            if (i < levels.Count - 1)
            {
                level.StartFrom(levels[i + 1]);
            }

            int sweeps = i == levels.Count - 1 ? CoarsestSweeps : i == 0 ? FinestSweeps : SweepsBetween;
            level.Sweep(sweeps, level.CellSize * level.CellSize / (reach * reach));
        }

        return new Grid<float>(ground.Frame, levels[0].Values);
    }

    private static Level Finest(ElevationGrid ground, IEnumerable<LineString> valleys, IEnumerable<LineString> ridges)
    {
        GridFrame f = ground.Frame;
        Level level = new(f.Rows, f.Columns, f.CellSize);
        float[] z = ground.Array;
        for (int i = 0; i < z.Length; i++)
        {
            level.Values[i] = float.IsNaN(z[i]) ? float.NaN : 0.5f;
            level.Kinds[i] = float.IsNaN(z[i]) ? Missing : Free;
        }

        Burn(level, f, ridges, 1);
        Burn(level, f, valleys, 0);
        level.MarkEdges();
        return level;
    }

    /// <summary>Fixes every cell that a line crosses.</summary>
    private static void Burn(Level level, GridFrame f, IEnumerable<LineString> lines, float value)
    {
        foreach (LineString line in lines)
        {
            Coordinate[] points = line.Coordinates;
            for (int i = 1; i < points.Length; i++)
            {
                double dx = points[i].X - points[i - 1].X;
                double dy = points[i].Y - points[i - 1].Y;
                int steps = Math.Max(1, (int)Math.Ceiling(4 * Math.Max(Math.Abs(dx), Math.Abs(dy)) / f.CellSize));
                for (int k = 0; k <= steps; k++)
                {
                    int r = (int)Math.Floor(f.RowAt(points[i - 1].Y + (dy * k / steps)) + 0.5);
                    int c = (int)Math.Floor(f.ColumnAt(points[i - 1].X + (dx * k / steps)) + 0.5);
                    int at = (r * f.Columns) + c;
                    if (f.Contains(r, c) && level.Kinds[at] != Missing)
                    {
                        level.Values[at] = value;
                        level.Kinds[at] = Fixed;
                    }
                }
            }
        }
    }

    private sealed class Level(int rows, int columns, double cellSize)
    {
        public int Rows { get; } = rows;

        public int Columns { get; } = columns;

        public double CellSize { get; } = cellSize;

        public float[] Values { get; } = new float[checked(rows * columns)];

        public byte[] Kinds { get; } = new byte[checked(rows * columns)];

        public Level Halve()
        {
            Level half = new((Rows + 1) / 2, (Columns + 1) / 2, 2 * CellSize);
            for (int r = 0; r < half.Rows; r++)
            {
                for (int c = 0; c < half.Columns; c++)
                {
                    float sum = 0;
                    int firm = 0;
                    int there = 0;
                    for (int i = 2 * r; i < Math.Min(Rows, (2 * r) + 2); i++)
                    {
                        for (int j = 2 * c; j < Math.Min(Columns, (2 * c) + 2); j++)
                        {
                            int at = (i * Columns) + j;
                            there += Kinds[at] == Missing ? 0 : 1;
                            if (Kinds[at] == Fixed)
                            {
                                sum += Values[at];
                                firm++;
                            }
                        }
                    }

                    int to = (r * half.Columns) + c;
                    half.Kinds[to] = there == 0 ? Missing : firm > 0 ? Fixed : Free;
                    half.Values[to] = there == 0 ? float.NaN : firm > 0 ? sum / firm : 0.5f;
                }
            }

            half.MarkEdges();
            return half;
        }

        public void MarkEdges()
        {
            for (int r = 0; r < Rows; r++)
            {
                for (int c = 0; c < Columns; c++)
                {
                    int at = (r * Columns) + c;
                    if (Kinds[at] == Free
                        && (r == 0 || c == 0 || r == Rows - 1 || c == Columns - 1 || Kinds[at - 1] == Missing || Kinds[at + 1] == Missing
                            || Kinds[at - Columns] == Missing || Kinds[at + Columns] == Missing))
                    {
                        Kinds[at] = Beside;
                    }
                }
            }
        }

        /// <summary>Takes the values of a coarser level, between its centres by bilinear weights over what is there.</summary>
        public void StartFrom(Level coarse)
        {
            for (int r = 0; r < Rows; r++)
            {
                int near = r / 2;
                int far = Math.Clamp(near + ((r & 1) == 0 ? -1 : 1), 0, coarse.Rows - 1);
                for (int c = 0; c < Columns; c++)
                {
                    int at = (r * Columns) + c;
                    if (Kinds[at] >= Fixed)
                    {
                        continue;
                    }

                    int beside = c / 2;
                    int beyond = Math.Clamp(beside + ((c & 1) == 0 ? -1 : 1), 0, coarse.Columns - 1);
                    float a = coarse.Values[(near * coarse.Columns) + beside];
                    float b = coarse.Values[(near * coarse.Columns) + beyond];
                    float d = coarse.Values[(far * coarse.Columns) + beside];
                    float e = coarse.Values[(far * coarse.Columns) + beyond];
                    b = float.IsNaN(b) ? a : b;
                    d = float.IsNaN(d) ? a : d;
                    e = float.IsNaN(e) ? a : e;
                    Values[at] = ((9 * a) + (3 * b) + (3 * d) + e) / 16;
                }
            }
        }

        /// <summary>Red-black Gauss-Seidel: every new value is a mean of its neighbours and 0.5, so none leaves 0 to 1.</summary>
        public void Sweep(int times, double pull)
        {
            float self = (float)pull;
            float whole = 1 / (4 + self);
            float[] u = Values;
            for (int k = 0; k < 2 * times; k++)
            {
                for (int r = 0; r < Rows; r++)
                {
                    for (int at = (r * Columns) + ((r + k) & 1), end = (r + 1) * Columns; at < end; at += 2)
                    {
                        byte kind = Kinds[at];
                        if (kind == Free)
                        {
                            u[at] = (u[at - 1] + u[at + 1] + u[at - Columns] + u[at + Columns] + (self * 0.5f)) * whole;
                        }
                        else if (kind == Beside)
                        {
                            float sum = self * 0.5f;
                            float weight = self;
                            int c = at - (r * Columns);
                            Add(c > 0, at - 1, ref sum, ref weight);
                            Add(c < Columns - 1, at + 1, ref sum, ref weight);
                            Add(r > 0, at - Columns, ref sum, ref weight);
                            Add(r < Rows - 1, at + Columns, ref sum, ref weight);
                            u[at] = sum / weight;
                        }
                    }
                }
            }
        }

        private void Add(bool inside, int at, ref float sum, ref float weight)
        {
            if (inside && Kinds[at] != Missing)
            {
                sum += Values[at];
                weight++;
            }
        }
    }
}
