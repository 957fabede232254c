using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>The ground around a place, smoothed at the scale of the implement, and the landform read from it.</summary>
/// <remarks>
/// <para>Units: metres. Missing: NaN.</para>
/// <para>Promises: same input, same reading, whatever the number of cores.</para>
/// <para>Cost: linear in cells.</para>
/// <para>Source: <see cref="GaussianSmoothing"/> and <see cref="LandformReader"/> name theirs.</para>
/// </remarks>
public sealed class GroundReading
{
    private const double SmoothingPerSpacing = 2.0;
    private const double LeastSmoothing = 4.0;
    private const double MostSmoothing = 10.0;
    private const double LeastSmoothingCells = 1.2;
    private const double LeastSurroundings = 300.0;

    internal GroundReading(ElevationGrid ground, ElevationGrid smoothed, double smoothingLength, LandformReading landform)
    {
        Ground = ground;
        Smoothed = smoothed;
        SmoothingLength = smoothingLength;
        Landform = landform;
    }

    /// <summary>Heights as delivered, around the place.</summary>
    public ElevationGrid Ground { get; }

    /// <summary>The same ground smoothed at the scale of the implement.</summary>
    public ElevationGrid Smoothed { get; }

    /// <summary>Standard deviation of the smoothing, metres.</summary>
    public double SmoothingLength { get; }

    /// <summary>Valleys, ridges, keypoints and keylines.</summary>
    public LandformReading Landform { get; }

    /// <summary>Reads a whole grid.</summary>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="spacing">Distance between neighbouring lines, metres: the scale of the implement; NaN where there is none.</param>
    /// <param name="options">What counts as a valley, a ridge and a keypoint; null for the defaults.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">A spacing or an option that no reading can be made with.</exception>
    public static GroundReading Of(ElevationGrid ground, double spacing, LandformOptions? options = null, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        if (!double.IsNaN(spacing))
        {
            OptionRules.Above(spacing, 0, nameof(spacing), "m");
        }

        double smoothing = SmoothingFor(ground.Frame, spacing);
        progress?.Report(new PlanProgress("smoothing", 0));
        ElevationGrid smoothed = GaussianSmoothing.ApplyTwice(ground, smoothing, cancellationToken);
        return new GroundReading(ground, smoothed, smoothing, LandformReader.Read(smoothed, options, progress, cancellationToken));
    }

    /// <summary>Reads the ground that has a say in the landform of a place: the place and a good way around it.</summary>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="place">The place, in the grid's coordinates.</param>
    /// <param name="spacing">Distance between neighbouring lines, metres: the scale of the implement; NaN where there is none.</param>
    /// <param name="options">What counts as a valley, a ridge and a keypoint; null for the defaults.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">A spacing or an option that no reading can be made with.</exception>
    /// <exception cref="GroundDataException">The place does not lie on the ground.</exception>
    public static GroundReading Around(ElevationGrid ground, Geometry place, double spacing, LandformOptions? options = null, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(place);
        // Far-apart pieces have surroundings of their own, and the ground between them has no say.
        IReadOnlyList<Geometry> groups = FieldGroups.Of(place, LeastSurroundings);
        Envelope[] boxes = [.. groups.Select(g => Surroundings(g.EnvelopeInternal))];
        if (boxes.Length == 1)
        {
            return Of(Cropped(ground, place.EnvelopeInternal, SurroundingsOf(place.EnvelopeInternal.Diameter)), spacing, options, progress, cancellationToken);
        }

        Envelope all = new();
        foreach (Envelope box in boxes)
        {
            all.ExpandToInclude(box);
        }

        return Of(Kept(Cropped(ground, all, 0), boxes), spacing, options, progress, cancellationToken);
    }

    internal static ElevationGrid Cropped(ElevationGrid ground, Envelope area, double margin) => GridWindow.Crop(ground, area, margin)
        ?? throw new GroundDataException("The place does not lie on the ground given: check that both are of the same place and in the same coordinate system.");

    private static Envelope Surroundings(Envelope box)
    {
        Envelope around = box.Copy();
        around.ExpandBy(SurroundingsOf(box.Diameter));
        return around;
    }

    // Heights within the boxes; beyond them the ground counts as not known.
    private static ElevationGrid Kept(ElevationGrid ground, Envelope[] boxes)
    {
        GridFrame frame = ground.Frame;
        float[] heights = new float[checked((int)frame.CellCount)];
        Array.Fill(heights, float.NaN);
        foreach (Envelope box in boxes)
        {
            (int top, int bottom) = (Math.Max(0, (int)Math.Floor(frame.RowAt(box.MaxY))), Math.Min(frame.Rows - 1, (int)Math.Ceiling(frame.RowAt(box.MinY))));
            (int left, int right) = (Math.Max(0, (int)Math.Floor(frame.ColumnAt(box.MinX))), Math.Min(frame.Columns - 1, (int)Math.Ceiling(frame.ColumnAt(box.MaxX))));
            for (int r = top; r <= bottom; r++)
            {
                ground.Row(r)[left..(right + 1)].CopyTo(heights.AsSpan((r * frame.Columns) + left));
            }
        }

        return ElevationGrid.Copy(frame, heights);
    }

    /// <summary>How far around a place the ground has a say in its landform: valleys that cross a field head and end beyond it.</summary>
    /// <param name="diameter">Diagonal of the place's box, metres.</param>
    /// <returns>Metres: half the diagonal, and no less than 300 m.</returns>
    public static double SurroundingsOf(double diameter) => Math.Max(LeastSurroundings, diameter / 2);

    private static double SmoothingFor(GridFrame frame, double spacing) =>
        Math.Max(double.IsNaN(spacing) ? MachineSlope.SmoothingLength : Math.Clamp(SmoothingPerSpacing * spacing, LeastSmoothing, MostSmoothing), LeastSmoothingCells * frame.CellSize);
}
