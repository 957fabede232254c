using Keyline.Elevation;
using Keyline.Layout.Parallels;
using NetTopologySuite.Geometries;

namespace Keyline.Layout.Even;

/// <summary>The count of lines on a finer grid: phases at nodes and steps along edges, a unit a line.</summary>
/// <remarks>
/// <para>Units: metres, lines. A step along an edge is counted the way its first node counts, from west to east and from north to
/// south; signs join neighbours as of <see cref="NodeSigns"/>.</para>
/// </remarks>
internal sealed class PhaseGrid
{
    private const double MostCell = 2.5;
    private const double StepShare = 0.82;

    private PhaseGrid(GridFrame frame, bool[] domain, double[] east, double[] south, double spacing)
    {
        Frame = frame;
        Domain = domain;
        East = east;
        South = south;
        Step = frame.CellSize / spacing;
        Signs = NodeSigns.Of(frame.Rows, frame.Columns, east, south);
        Phase = new double[domain.Length];
        StepEast = new double[domain.Length];
        StepSouth = new double[domain.Length];
        Fixed = new bool[domain.Length];
    }

    /// <summary>Nodes lie at the cell centres of this frame.</summary>
    public GridFrame Frame { get; }

    public bool[] Domain { get; }

    /// <summary>Spacing times the gradient of the count, as asked for.</summary>
    public double[] East { get; }

    /// <summary>Spacing times the gradient of the count, as asked for.</summary>
    public double[] South { get; }

    /// <summary>Distance between nodes in spacings.</summary>
    public double Step { get; }

    public NodeSigns Signs { get; }

    /// <summary>Nodes whose phase is given.</summary>
    public bool[] Fixed { get; }

    /// <summary>Phases, lines; only what is left of whole numbers means anything.</summary>
    public double[] Phase { get; }

    /// <summary>Steps to the node east, lines.</summary>
    public double[] StepEast { get; }

    /// <summary>Steps to the node south, lines.</summary>
    public double[] StepSouth { get; }

    /// <summary>A grid over the workable ground, with the field brought to it.</summary>
    public static PhaseGrid Create(SpacingField field, Geometry area, double spacing, CancellationToken cancellationToken)
    {
        GridFrame coarse = field.Grid.Frame;
        double cell = Math.Min(MostCell, StepShare * spacing);
        GridFrame frame = new(Math.Max(2, (int)(coarse.Rows * coarse.CellSize / cell)), Math.Max(2, (int)(coarse.Columns * coarse.CellSize / cell)), cell, coarse.West, coarse.North);
        bool[] domain = GuideBlock.Mask(frame, area.Buffer(cell), cancellationToken);
        double[] east = new double[domain.Length];
        double[] south = new double[domain.Length];
        Parallel.For(0, frame.Rows, WorkThreads.Options(cancellationToken), r =>
        {
            for (int c = 0; c < frame.Columns; c++)
            {
                int i = (r * frame.Columns) + c;
                FieldSample sample = FieldSample.At(field, frame.CentreX(c), frame.CentreY(r));
                (east[i], south[i]) = (sample.East, sample.South);
                domain[i] &= sample.East != 0 || sample.South != 0;
            }
        });
        return new PhaseGrid(frame, domain, east, south, spacing);
    }

    /// <summary>A grid with the field given.</summary>
    public static PhaseGrid Of(GridFrame frame, bool[] domain, double[] east, double[] south, double spacing) => new(frame, domain, east, south, spacing);

    /// <summary>Gives the phases beside keylines: half a line on each.</summary>
    public void Fix(KeylineNodes keys, double spacing)
    {
        for (int i = 0; i < Domain.Length; i++)
        {
            if (Domain[i] && keys.Line[i] >= 0)
            {
                double side = (keys.East[i] * East[i]) + (keys.South[i] * South[i]) < 0 ? -1 : 1;
                Fixed[i] = true;
                Phase[i] = 0.5 + (side * keys.Off[i] / spacing);
            }
        }
    }

    /// <summary>Whether a node and the next in its row both count.</summary>
    public bool HasEast(int i) => i % Frame.Columns < Frame.Columns - 1 && Domain[i] && Domain[i + 1];

    /// <summary>Whether a node and the next in its column both count.</summary>
    public bool HasSouth(int i) => i + Frame.Columns < Domain.Length && Domain[i] && Domain[i + Frame.Columns];

    /// <summary>Whether the four nodes of the face south-east of a node count.</summary>
    public bool HasFace(int i) => HasEast(i) && HasSouth(i) && Domain[i + Frame.Columns + 1];

    /// <summary>The step wished for to the node east, lines.</summary>
    public double WishedEast(int i) => 0.5 * Step * (East[i] + (Signs.East[i] * East[i + 1]));

    /// <summary>The step wished for to the node south, lines.</summary>
    public double WishedSouth(int i) => 0.5 * Step * (South[i] + (Signs.South[i] * South[i + Frame.Columns]));

    /// <summary>Lines that end in the face south-east of a node, a whole number; null where no count goes through.</summary>
    public int? Residue(int i)
    {
        (int ne, int sw, _, bool through) = Signs.Face(i);
        return through ? (int)Math.Round(StepEast[i] + (ne * StepSouth[i + 1]) - (sw * StepEast[i + Frame.Columns]) - StepSouth[i]) : null;
    }

    /// <summary>Lines that end in all faces.</summary>
    public int Residues() => Enumerable.Range(0, Domain.Length).Sum(i => HasFace(i) ? Math.Abs(Residue(i) ?? 0) : 0);
}
