namespace Keyline.Drainage;

/// <summary>How far <see cref="DepressionBreaching"/> may go.</summary>
/// <remarks>Defaults: a farm track or a low bank is cut, a dam is not; common practice, no source.</remarks>
public sealed record BreachOptions
{
    /// <summary>Deepest cut when nothing else is asked for, metres.</summary>
    public const double DefaultMaximumDepth = 2;

    /// <summary>Longest cut when nothing else is asked for, metres.</summary>
    public const double DefaultMaximumLength = 40;

    /// <value>Deepest cut below the ground anywhere along the way, metres, from 0. Default 2 m: a farm track, not a dam.</value>
    public double MaximumDepth { get; init; } = DefaultMaximumDepth;

    /// <value>Longest cut, metres along it, from 0. Default 40 m.</value>
    public double MaximumLength { get; init; } = DefaultMaximumLength;

    /// <value>Whether hollows that the limits do not let out are filled. Default yes; without, they stay as they are.</value>
    public bool FillRest { get; init; } = true;
}
