namespace Keyline.Elevation;

/// <summary>A surface through shots that can do without one.</summary>
internal abstract class ShotFit
{
    /// <summary>For every shot its height less what the surface of the others has there; NaN for those taken out and where the
    /// others say nothing.</summary>
    public abstract double[] LeaveOneOut(CancellationToken cancellationToken);

    /// <summary>How large residuals of shots left out may be expected to be beside each other: larger on the rim and where
    /// shots are few.</summary>
    public abstract double[] ExpectedSizes();

    /// <summary>Takes shots out.</summary>
    public abstract void Remove(IReadOnlyList<int> shots, CancellationToken cancellationToken);

    /// <summary>Heights of the centres of a frame's cells between two columns of a row, metres.</summary>
    /// <param name="frame">The frame.</param>
    /// <param name="heights">Heights of the whole frame, NaN where nothing has been written.</param>
    /// <param name="spans">First column and the one after the last of each row that lie within the shots' hull.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public abstract void Fill(GridFrame frame, float[] heights, (int First, int End)[] spans, CancellationToken cancellationToken);
}
