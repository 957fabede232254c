using Keyline.Elevation;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Prepared;

namespace Keyline.Water;

/// <summary>Which soil each cell of a frame has.</summary>
public sealed class SoilMap
{
    private readonly byte[]? _of;

    private SoilMap(IReadOnlyList<SoilColumn> soils, byte[]? of, IReadOnlyList<(string Name, int Soil)>? dams = null) => (Soils, _of, Dams) = (soils, of, dams ?? []);

    /// <summary>The soils.</summary>
    public IReadOnlyList<SoilColumn> Soils { get; }

    /// <summary>One soil everywhere.</summary>
    /// <param name="soil">The soil.</param>
    public static SoilMap Uniform(SoilColumn soil)
    {
        ArgumentNullException.ThrowIfNull(soil);
        return new SoilMap([soil], null);
    }

    /// <summary>Soils by polygon; where polygons overlap the later one holds.</summary>
    /// <param name="frame">The ground's frame.</param>
    /// <param name="elsewhere">The soil outside all polygons.</param>
    /// <param name="areas">Polygons in the ground's coordinates with their soils; at most 255.</param>
    public static SoilMap Of(GridFrame frame, SoilColumn elsewhere, IReadOnlyList<(Geometry Area, SoilColumn Soil)> areas)
    {
        ArgumentNullException.ThrowIfNull(frame);
        ArgumentNullException.ThrowIfNull(areas);
        if (areas.Count > byte.MaxValue)
        {
            throw new GroundDataException($"The soil map has {areas.Count} areas: join them to {byte.MaxValue} at most.");
        }

        byte[] of = new byte[frame.CellCount];
        for (int k = 0; k < areas.Count; k++)
        {
            foreach (int cell in CellsIn.Of(frame, areas[k].Area))
            {
                of[cell] = (byte)(k + 1);
            }
        }

        return new SoilMap([elsewhere, .. areas.Select(a => a.Soil)], of);
    }

    /// <summary>The same soils with ground in between that behaves otherwise; where such overlap the later one holds.</summary>
    /// <param name="frame">The ground's frame.</param>
    /// <param name="grounds">The grounds; of those driven on only cells that still have soil count.</param>
    /// <exception cref="GroundDataException">More soils and grounds than 255 together, or a share below 0 or above 1.</exception>
    public SoilMap Covered(GridFrame frame, IReadOnlyList<CoveredGround> grounds)
    {
        ArgumentNullException.ThrowIfNull(frame);
        ArgumentNullException.ThrowIfNull(grounds);
        if (grounds.Count == 0)
        {
            return this;
        }

        List<SoilColumn> soils = [.. Soils];
        List<(string, int)> dams = [.. Dams];
        byte[] of = _of is null ? new byte[frame.CellCount] : (byte[])_of.Clone();
        foreach (CoveredGround ground in grounds)
        {
            if (!(ground.Intake is >= 0 and <= 1))
            {
                throw new GroundDataException(FormattableString.Invariant($"{ground.Name}: it takes in {100 * ground.Intake:0.#} % of what its soil would: that must lie between 0 and 100 %."));
            }

            int first = soils.Count;
            switch (ground.Cover)
            {
                case GroundCover.Trafficked:
                    soils.AddRange(Soils.Select(s => s.TimesConductivity(ground.Intake)));
                    break;
                case GroundCover.Dam:
                    dams.Add((ground.Name, first));
                    soils.Add(SoilColumn.Uniform(ground.Name, double.PositiveInfinity, 0, 1));
                    break;
                default:
                    soils.Add(SoilColumn.Uniform(ground.Name, 0, 0, 0));
                    break;
            }

            if (soils.Count > byte.MaxValue + 1)
            {
                throw new GroundDataException($"Soils and grounds that behave unlike them are more than {byte.MaxValue}: join some of the same kind.");
            }

            foreach (int cell in CellsIn.Around(frame, ground.Shape))
            {
                of[cell] = ground.Cover != GroundCover.Trafficked ? (byte)first : of[cell] < Soils.Count ? (byte)(first + of[cell]) : of[cell];
            }
        }

        return new SoilMap(soils, of, dams);
    }

    /// <summary>Dams, with the number of the soil that stands for each.</summary>
    internal IReadOnlyList<(string Name, int Soil)> Dams { get; }

    /// <summary>Index of a cell's soil.</summary>
    /// <param name="cell">Number of the cell, row after row.</param>
    internal int IndexOf(int cell) => _of is null ? 0 : _of[cell];

    internal bool IsUniform => _of is null;
}

/// <summary>The cells whose centre lies in a shape.</summary>
internal static class CellsIn
{
    /// <summary>The same, with the cells around a point or line.</summary>
    public static List<int> Around(GridFrame frame, Geometry shape) => Of(frame, shape.Dimension == Dimension.Surface ? shape : shape.Buffer(1.01 * frame.CellSize));

    public static List<int> Of(GridFrame frame, Geometry shape)
    {
        List<int> cells = [];
        Envelope box = shape.EnvelopeInternal;
        if (shape.IsEmpty)
        {
            return cells;
        }

        IPreparedGeometry prepared = PreparedGeometryFactory.Prepare(shape);
        int top = Math.Max(0, (int)Math.Floor(frame.RowAt(box.MaxY)));
        int bottom = Math.Min(frame.Rows - 1, (int)Math.Ceiling(frame.RowAt(box.MinY)));
        int left = Math.Max(0, (int)Math.Floor(frame.ColumnAt(box.MinX)));
        int right = Math.Min(frame.Columns - 1, (int)Math.Ceiling(frame.ColumnAt(box.MaxX)));
        for (int r = top; r <= bottom; r++)
        {
            for (int c = left; c <= right; c++)
            {
                if (prepared.Covers(shape.Factory.CreatePoint(new Coordinate(frame.CentreX(c), frame.CentreY(r)))))
                {
                    cells.Add((r * frame.Columns) + c);
                }
            }
        }

        return cells;
    }
}
